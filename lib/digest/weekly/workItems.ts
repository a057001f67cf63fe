import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { listComingLines, toLineItems, toOverdueItems } from './dueItems'
import type { DigestItem } from './item'
import { toSampleItems } from './sampleItems'

/** All that a digest can name of the work due. `rows` has the samples by code. */
export function toWorkItems(
  work: Pick<DueWork, 'asOf' | 'owed' | 'overdue' | 'judged'>,
  rows: ReadonlyMap<string, SampleRow>,
): DigestItem[] {
  const lines = listComingLines(work)
  return [
    ...toOverdueItems(work, rows),
    ...toLineItems(lines, rows),
    ...toSampleItems(work.judged, lines, rows, work.asOf),
  ]
}
