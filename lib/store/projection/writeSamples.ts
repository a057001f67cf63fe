import type pg from 'pg'
import { toCanonical } from '@/lib/custody/kitCode'
import type { Kit, Register } from '@/lib/custody/register'
import type { SampleWithEvents } from '@/lib/custody/sample'
import { type Clock, getClockState } from '@/lib/hold/clock'
import { MILESTONES } from '@/lib/hold/milestone'
import { canBind } from '@/lib/hold/standing'
import { computeActionFacts } from '@/lib/schedule/progress'
import { toSqlInstant } from '../scope/sqlInstant'
import { command } from '../scope/statement'
import type { TimeSlices } from '../scope/timeSlices'
import { buildJourney, type KnownAt } from './buildJourney'
import { pipelineBatches } from './pipelineBatches'
import { toStoredJourney } from './storedJourney'

const COLUMNS = [
  'code',
  'plant',
  'laboratory',
  'service',
  'purpose',
  'replaces',
  'replaced_by',
  'issued_at',
  'product',
  'lot',
  'protocol',
  'stage',
  'stage_at',
  'settled',
  'settled_at',
  'ending',
  'tight_at',
  'at_risk_at',
  'due_at',
  'has_lapsed',
  'pressing_at',
  'clocks',
  'milestones',
  'flags',
  'search',
  'derive_again_at',
  'journey',
  'made',
  'failed_at',
  'is_unruled',
  'holds_from_at',
] as const

type DerivedRow = Record<(typeof COLUMNS)[number], unknown>

const BATCH = 500

const WRITE = command(
  `insert into sample (${COLUMNS.join(', ')})
   select ${COLUMNS.join(', ')} from json_populate_recordset(null::sample, $1::json)
   on conflict (code) do update set (${COLUMNS.join(', ')}) = (${COLUMNS.map((column) => `excluded.${column}`).join(', ')})`,
)

/**
 * Writes the derived row of each kit and replaces an earlier one. A batch is derived while the database writes the one
 * before.
 */
export async function writeSamples(
  client: pg.ClientBase,
  kits: Iterable<Kit>,
  derive: (kit: Kit) => DerivedRow,
  slices: TimeSlices,
): Promise<void> {
  function* batches() {
    let rows: string[] = []
    const takeRows = () => {
      const text = `[${rows.join(',')}]`
      rows = []
      return text
    }
    for (const kit of kits) yield rows.push(JSON.stringify(derive(kit))) === BATCH ? takeRows() : null
    if (rows.length > 0) yield takeRows()
  }
  await pipelineBatches(batches(), (rows) => WRITE.run(client, [rows]), slices)
}

/**
 * The row of a sample. It does not depend on when it is derived. `knownAt` has every event that concerns the sample.
 */
export function toDerivedRow(sample: SampleWithEvents, register: Register, knownAt: KnownAt): DerivedRow {
  const { kit, history, standingTimes, clocks } = sample
  const { countedProduct, failedAt, isUnruled } = computeActionFacts(sample, register)
  const text = (at: number | null) => (at === null ? null : toSqlInstant(at))
  const stageAt = history.stage === null ? null : (history.milestones.get(history.stage)?.earliestAt ?? null)
  return {
    code: kit.code,
    plant: kit.plant,
    laboratory: kit.laboratory,
    service: kit.service,
    purpose: kit.purpose,
    replaces: kit.replaces,
    replaced_by: history.replacedBy,
    issued_at: text(kit.issuedAt),
    product: sample.product,
    lot: sample.lot,
    protocol: sample.protocol,
    stage: history.stage,
    stage_at: text(stageAt),
    settled: sample.settled,
    settled_at: sample.settled === null ? null : text(sample.endedAt ?? stageAt),
    ending: history.ending?.kind ?? null,
    tight_at: text(standingTimes.tightAt),
    at_risk_at: text(standingTimes.atRiskAt),
    due_at: text(standingTimes.dueAt),
    has_lapsed: standingTimes.hasLapsed,
    pressing_at: text(findUrgentAt(clocks)),
    clocks,
    milestones: MILESTONES.flatMap((milestone) => {
      const reading = history.milestones.get(milestone)
      return reading ? [{ milestone, at: reading.earliestAt }] : []
    }),
    flags: [...new Set(sample.flags.map(({ kind }) => kind))].sort(),
    search: buildSearchText(sample, register),
    derive_again_at: text(sample.deriveAgainAt),
    journey: toStoredJourney(buildJourney(sample, knownAt)),
    made: countedProduct,
    failed_at: text(failedAt),
    is_unruled: isUnruled,
    holds_from_at: text(sample.holdsFromAt),
  }
}

/** The first due that counts against a sample: that of a clock that can bind it or has lapsed. */
function findUrgentAt(clocks: readonly Clock[]): number | null {
  const counting = clocks.filter(
    (clock) => canBind(clock) || getClockState(clock, Number.NEGATIVE_INFINITY) === 'lapsed',
  )
  return counting.length > 0 ? Math.min(...counting.map((clock) => clock.dueAt as number)) : null
}

function buildSearchText({ kit, product, lot, events }: SampleWithEvents, register: Register): string {
  const waybills = new Set(
    events.map(({ event }) => (event.waybill === null ? '' : toCanonical(event.waybill))),
  )
  const words = [
    kit.code,
    ...[...waybills].sort(),
    kit.plant,
    register.plants.get(kit.plant)?.name,
    product,
    register.findProduct(kit.plant, product)?.name,
    lot,
  ]
  return words
    .filter((word) => word)
    .join('\n')
    .toLowerCase()
}
