import { toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { formatSince } from './instant'

type StageFields = Pick<SampleRow, 'stage' | 'stageAt' | 'issuedAt' | 'ending'>

/** The whereabouts of a sample: "on the dock since Mon". Days are those of `zone`; times in ms UTC. */
export function formatWhereabouts(t: Translate, row: StageFields, zone: string, now: number): string {
  const { stage, ending } = row
  if (ending !== null) return t('whereabouts.ended', { ending })
  const at = row.stageAt ?? row.issuedAt
  // The day of the hand-over is day 0. A report ahead of now counts as today's.
  if (stage === 'dispatched')
    return t('whereabouts.dispatched', { days: Math.max(0, toLocalDay(now, zone) - toLocalDay(at, zone)) })
  // Only the register knows whether the kit was posted; the sample's page shows it.
  return t(`whereabouts.${stage ?? 'issued'}`, { since: formatSince(t, at, zone, now) })
}
