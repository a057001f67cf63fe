import type pg from 'pg'
import { keyOf } from '@/lib/custody/event'
import { canonical } from '@/lib/custody/kitCode'
import { placeEvents } from '@/lib/custody/placing'
import type { LaboratoryContent, PlantContent } from '@/lib/custody/registerDocument'
import { type Sample, sampleOf } from '@/lib/custody/sample'
import { type Reckoning, reckon } from '@/lib/hold/reckoning'
import type { Thresholds } from '@/lib/hold/standing'
import { currentRegister, kitsOf } from './currentRegister'
import { readLedgerEvent } from './derive'
import { eventsBearing, touching } from './eventsBearing'
import { isDemo } from './mark'
import { deriveWhatIsDue } from './rebuild'
import { ROW_COLUMNS, type SampleRow, type StoredSample, sampleRow } from './sampleRow'

/** Everything there is on one sample at `asOf` (ms UTC). */
export interface SampleDossier {
  asOf: number
  isDemo: boolean
  row: SampleRow
  sample: Sample
  /** Our own receipt of each event, ms UTC, by its key. */
  receipts: Record<string, { receivedAt: number }>
  plant: PlantContent
  laboratory: LaboratoryContent
  productName: string | null
  protocolName: string | null
  thresholds: Thresholds
  /** How each due is counted, by the limit's name; null while its clock has not started. */
  reckonings: Record<string, Reckoning | null>
  replacedBy: string | null
  replaces: string | null
}

/** The dossier of a sample by its kit code, however written, at `now` (ms UTC); null where no kit has it. */
export async function sampleDossier(pool: pg.Pool, code: string, now: number): Promise<SampleDossier | null> {
  const kitCode = canonical(code)
  await deriveWhatIsDue(pool, now)
  const [register, kits] = await Promise.all([currentRegister(pool), kitsOf(pool, [kitCode])])
  const kit = kits.get(kitCode)
  const { rows } = await pool.query<StoredSample>(`select ${ROW_COLUMNS} from sample where code = $1`, [
    kitCode,
  ])
  if (!kit || !rows[0]) return null
  const bearing = await eventsBearing(pool, touching([kitCode]))
  const read = bearing.map((event) => readLedgerEvent(event, register))
  const placed = placeEvents(read, (other) => other === kitCode, now).bySample.get(kitCode) ?? []
  const sample = sampleOf(kit, placed, register, now)
  const plant = register.plants.get(kit.plant) as PlantContent
  const places = { plantZone: plant.zone, laboratory: register.calendarOf(kit.laboratory) }
  const replacing = await pool.query<{ code: string }>(
    'select code from sample where replaces = $1 order by code',
    [kitCode],
  )
  return {
    asOf: now,
    isDemo: await isDemo(pool),
    row: sampleRow(rows[0], register, now),
    sample,
    receipts: Object.fromEntries(bearing.map((event) => [keyOf(event), { receivedAt: event.receivedAt }])),
    plant,
    laboratory: register.laboratories.get(kit.laboratory) as LaboratoryContent,
    productName: sample.product === null ? null : (register.products.get(sample.product)?.name ?? null),
    protocolName: sample.protocol === null ? null : (register.protocols.get(sample.protocol)?.name ?? null),
    thresholds: register.thresholdsOf(sample.protocol),
    reckonings: Object.fromEntries(
      sample.clocks.map(({ limit, startedAt }) => [
        limit.name,
        startedAt === null ? null : reckon(limit, startedAt, places),
      ]),
    ),
    replacedBy: replacing.rows[0]?.code ?? replacedByEvent(sample),
    replaces: kit.replaces,
  }
}

function replacedByEvent(sample: Sample): string | null {
  const event = sample.events.findLast(
    (placed) => placed.event.kind === 'replaced by' && placed.correctedBy.length === 0,
  )
  const kit = event?.event.facts?.kit
  return typeof kit === 'string' ? canonical(kit) : null
}
