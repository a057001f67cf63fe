import { formatChance } from '@/app/ui/words/chanceText'
import { getStanding } from '@/app/ui/words/standing'
import { describeReplacement, describeStep, findNextStep, needsReplacement } from '@/lib/judgement/nextStep'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { formatCarrierRequest } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'

type Coming = Arrivals['laboratories'][number]['coming'][number]
type Late = Pick<Coming, 'samples' | 'service'>

/** How the samples of what is late stand by their limits at `now` (ms UTC), the worst first; empty where nothing tells. */
export function formatLimitStatus(t: Translate, { samples }: Pick<Late, 'samples'>, now: number): string {
  const lapsed = samples.filter((row) => getStanding(row, now) === 'lapsed')
  const risks = samples.flatMap((row) => (row.forecast && !lapsed.includes(row) ? [row.forecast.risk] : []))
  const sentences: string[] = []
  if (lapsed.length > 0)
    sentences.push(
      lapsed.length === samples.length
        ? `${samples.length === 1 ? 'It has' : 'They have'} lapsed.`
        : 'One or more of them have lapsed.',
    )
  if (risks.length > 0)
    sentences.push(
      `The chance to miss ${samples.length === 1 ? 'its limit' : 'a limit'} is ${formatChance(t, Math.max(...risks))}.`,
    )
  return sentences.join(' ')
}

/** Whom to ask for it, as the board says it of the same sample: the laboratory where the carrier has delivered it. */
export function formatLateAction(
  t: Translate,
  { samples, service }: Late,
  now: number,
  reader: ActingRoles,
): string {
  const isDelivered = samples.every(({ stage }) => stage === 'delivered')
  const [first] = samples
  const areLost = samples.every((row) => getStanding(row, now) === 'lapsed' && needsReplacement(row))
  const replace =
    first && areLost ? describeReplacement(t, samples.length === 1 ? 'it' : 'each', first, reader) : null
  const step = isDelivered ? findNextStep('delivered', null) : null
  const isDesk = isResponsible({ by: 'laboratory', code: first?.laboratory ?? '' }, reader)
  const ask = capitalised(
    step ? describeStep(t, step, 'it', isDesk) : formatCarrierRequest(t, 'it', service ?? undefined),
  )
  return replace === null ? `${ask}.` : `${ask}, and ${replace}.`
}
