import { formatChance } from '@/app/ui/words/chance'
import { getStanding } from '@/app/ui/words/standing'
import { describeReplacement, describeStep, findNextStep, needsReplacement } from '@/lib/judgement/nextStep'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'

type Consignment = Arrivals['laboratories'][number]['coming'][number]
type LateConsignment = Pick<Consignment, 'samples' | 'service'>

/** What a late consignment means for the hold limits of its samples at `now` (ms UTC); empty if nothing is known. */
export function formatLimitStatus(
  t: Translate,
  { samples }: Pick<LateConsignment, 'samples'>,
  now: number,
): string {
  const lapsed = samples.filter((row) => getStanding(row, now) === 'lapsed')
  const risks = samples.flatMap((row) => (row.forecast && !lapsed.includes(row) ? [row.forecast.risk] : []))
  const sentences: string[] = []
  if (lapsed.length > 0)
    sentences.push(
      lapsed.length === samples.length
        ? t('arrivals.late.lapsed', { count: samples.length })
        : t('arrivals.late.someLapsed'),
    )
  if (risks.length > 0)
    sentences.push(
      t('arrivals.late.risk', { count: samples.length, chance: formatChance(t, Math.max(...risks)) }),
    )
  return sentences.join(' ')
}

/** Whom to ask about a late consignment, in the words of the board: the laboratory once it is delivered, else the carrier. */
export function formatLateAction(
  t: Translate,
  { samples, service }: LateConsignment,
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
  const ask = step
    ? describeStep(t, step, 'it', isDesk)
    : service === null
      ? t('act.carrier.do', { sample: 'it' })
      : t('act.carrier.named', { carrier: service })
  return [ask, ...(replace === null ? [] : [replace])].map((sentence) => `${sentence}.`).join(' ')
}
