import { UNSEEN_KIT } from '@/lib/custody/kitCode'
import { MILESTONES } from '@/lib/hold/milestone'
import type { CsvTable } from '@/lib/intake/formats/safeCsv'
import type { SampleRow } from '@/lib/store/projection/sampleRow'

const COLUMNS = [
  'code',
  'product',
  'productName',
  'lot',
  'purpose',
  'laboratory',
  'service',
  'standing',
  'ending',
  'lapsedLimit',
  'lapsedDueAt',
  'issuedAt',
  ...MILESTONES.map((milestone) => `${milestone}At`),
  'settledAt',
  'replacedBy',
]

/** Pages of settled samples as tables of one CSV. Instants are UTC, as ISO 8601; a milestone's is its earliest reading. */
export async function* streamHistoryTables(
  pages: AsyncIterable<{ rows: SampleRow[] }>,
): AsyncGenerator<CsvTable> {
  yield [COLUMNS]
  for await (const { rows } of pages) yield rows.map(toCells)
}

function toCells(row: SampleRow): string[] {
  const reached = new Map(row.milestones.map(({ milestone, at }) => [milestone, at]))
  return [
    row.code,
    row.product ?? '',
    row.productName ?? '',
    row.lot ?? '',
    row.purpose,
    row.laboratory,
    row.service ?? '',
    row.standing,
    row.ending ?? '',
    row.lapsed?.limit.name ?? '',
    formatInstantCell(row.lapsed?.dueAt),
    formatInstantCell(row.issuedAt),
    ...MILESTONES.map((milestone) => formatInstantCell(reached.get(milestone))),
    formatInstantCell(row.settledAt),
    row.replacedBy === UNSEEN_KIT ? 'another kit' : (row.replacedBy ?? ''),
  ]
}

const formatInstantCell = (at: number | null | undefined) => (at == null ? '' : new Date(at).toISOString())
