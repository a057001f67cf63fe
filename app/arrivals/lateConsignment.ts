import { formatChance } from '@/app/ui/words/chance'
import { describeAct } from '@/lib/judgement/actText'
import type { NextAct } from '@/lib/judgement/nextAct'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'

type Consignment = Arrivals['laboratories'][number]['coming'][number]
type LateConsignment = Pick<Consignment, 'samples' | 'service'>

/** What a late consignment means for the hold limits of its samples; empty if nothing is known. */
export function formatLimitStatus(t: Translate, { samples }: Pick<LateConsignment, 'samples'>): string {
  const risks = samples.flatMap(({ forecast }) => (forecast ? [forecast.risk] : []))
  if (risks.length === 0) return ''
  return t('arrivals.late.risk', { count: samples.length, chance: formatChance(t, Math.max(...risks)) })
}

/** What is to be done about a late consignment: what its reader has to do today, else what others have to. */
export function formatLateAction(
  t: Translate,
  { samples, service }: LateConsignment,
  reader: ActingRoles,
): string {
  const texts = samples.flatMap(({ judgement }) => {
    const urgent = (judgement?.acts ?? []).filter(({ isUrgent }) => isUrgent)
    const act = urgent.find(({ actor }) => isResponsible(actor, reader)) ?? urgent[0]
    return act ? [describeLateAct(t, act, service, reader)] : []
  })
  return [...new Set(texts)].map((text) => `${text}.`).join(' ')
}

function describeLateAct(t: Translate, act: NextAct, service: string | null, reader: ActingRoles): string {
  if (act.act === 'ask the carrier' && service !== null) return t('act.carrier.named', { carrier: service })
  return describeAct(t, act, 'it', reader)
}

/** Says that samples of a consignment are in question, so that nobody loads them; null where none is. */
export function formatQuestion(t: Translate, { samples }: Pick<LateConsignment, 'samples'>): string | null {
  const doubtful = samples.filter(({ judgement }) => judgement?.fitness === 'in question')
  if (doubtful.length === 0) return null
  const isHeld = doubtful.some(({ judgement }) => judgement?.restraint === 'do not load')
  return t('arrivals.inQuestion', {
    count: doubtful.length,
    total: samples.length,
    isHeld: isHeld ? 'yes' : 'no',
  })
}
