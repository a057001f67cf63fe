import { toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { formatSince } from './instant'

type StageFields = Pick<SampleRow, 'stage' | 'stageAt' | 'issuedAt' | 'ending'>

/** Where a sample is, in a few words. Days are those of `zone`; times in ms UTC. */
export function formatWhereabouts(t: Translate, row: StageFields, zone: string, now: number): string {
  if (row.ending !== null) return row.ending
  const at = row.stageAt ?? row.issuedAt
  const since = formatSince(t, at, zone, now)
  switch (row.stage) {
    case null:
      // Whether it was posted too is the register's to say, on the sample's page.
      return `kit issued ${since}, not yet cut`
    case 'produced':
      return `made ${since}, not yet cut`
    case 'collected':
      return `cut ${since}, not handed over`
    case 'sealed':
      return `sealed ${since}, not handed over`
    case 'dispatched':
      return formatCarrierDay(t, toLocalDay(now, zone) - toLocalDay(at, zone))
    case 'delivered':
      return `delivered ${since}, not yet received`
    case 'received':
      return `on the dock since ${since}`
    case 'conditioned':
      return `in conditioning since ${since}`
    case 'loaded':
      return `in the chamber since ${since}`
    case 'reported':
      return `reported ${since}`
  }
}

function formatCarrierDay(t: Translate, days: number): string {
  return days <= 0 ? 'with the carrier since today' : `with the carrier, day ${days}`
}
