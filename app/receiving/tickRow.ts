import { formatWhereabouts } from '@/app/ui/words/stage'
import { formatStatus, getRowGroup } from '@/app/ui/words/standing'
import type { SampleGroup } from '@/lib/judgement/sampleGroup'
import type { Translate } from '@/lib/messages/translate'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'

/** A sample that can be ticked, in words. */
export interface TickRow {
  code: string
  /** Product, lot, and where it comes from or goes to. */
  details: string
  whereabouts: string
  headline: string
  /** What was found, and what must not be done with it; empty where nothing was. */
  caution: string
  /** It is in question, at risk or lapsed. */
  isUrgent: boolean
  isTicked: boolean
}

/** Groups that need nobody. */
const CALM: readonly SampleGroup[] = ['tight', 'sound', 'to be finished', 'of no use']

/** `context`: where the sample comes from or goes to. */
export function toTickRow(
  t: Translate,
  row: JudgedRow,
  context: string,
  at: { zone: string; now: number },
  isTicked: boolean,
): TickRow {
  const { headline, found, restraint } = formatStatus(t, row, at.zone, at.now)
  const name = row.productName ?? row.product
  return {
    code: row.code,
    details: t('record.sample.details', {
      product: name === null ? 'unknown' : 'known',
      name: name ?? '',
      hasLot: row.lot ? 'yes' : 'no',
      lot: row.lot ?? '',
      context,
    }),
    whereabouts: formatWhereabouts(t, row, at.zone, at.now),
    headline,
    caution: [found, restraint].filter(Boolean).join(' '),
    isUrgent: !CALM.includes(getRowGroup(row, at.now)),
    isTicked,
  }
}
