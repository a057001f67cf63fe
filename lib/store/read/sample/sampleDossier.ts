import type pg from 'pg'
import { z } from 'zod'
import { eventKey } from '@/lib/custody/event'
import { isKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { Kit } from '@/lib/custody/register'
import type { LaboratoryContent, PlantContent } from '@/lib/custody/registerDocument'
import { deriveSample, type SampleWithEvents } from '@/lib/custody/sample'
import { type DueBreakdown, explainDue } from '@/lib/hold/dueBreakdown'
import type { Thresholds } from '@/lib/hold/standing'
import type { ForecastStage } from '@/lib/lane/forecast/forecast'
import type { Evidence } from '@/lib/lane/model/fit'
import { stageKind } from '@/lib/lane/model/stage'
import type { Scope } from '@/lib/policy/scope'
import { placeLedgerEvents } from '../../projection/placeLedgerEvents'
import { withReadTransaction } from '../../projection/readTransaction'
import { findRelatedEvents, touchSamples } from '../../projection/relatedEvents'
import {
  REPLACED_BY,
  ROW_COLUMNS,
  type SampleRow,
  storedSample,
  toSampleRow,
} from '../../projection/sampleRow'
import type { ScoredForecast } from '../../projection/scoreSample'
import { forecastDetail, SCORED_SAMPLES } from '../../projection/storedForecast'
import { setScope } from '../../scope/scope'
import { statement } from '../../scope/statement'
import { hideCode, hideKits, listNamedKits } from './hideKits'

/** Everything known about one sample at `asOf` (ms UTC). */
export interface SampleDossier {
  asOf: number
  isDemo: boolean
  row: SampleRow
  sample: SampleWithEvents
  /** When Holdfast received each event (ms UTC) and who reported it, by event key. */
  receipts: Record<string, { acceptedAt: number; reportedBy: string | null }>
  plant: PlantContent
  laboratory: LaboratoryContent
  productName: string | null
  protocolName: string | null
  /** From these chances to miss a limit on, the sample is tight or at risk. */
  thresholds: Thresholds
  /** The forecasts of running clocks. */
  forecasts: RedactedForecast[]
  /** The calculation of each due, by the limit’s name; null while the clock has not started. */
  dueCalculations: Record<string, DueBreakdown | null>
  /** Codes of other kits; `UNSEEN_KIT` if `scope` does not see them. */
  replacedBy: string | null
  replaces: string | null
  /** What is known of the sample that it replaces, if `scope` sees that. */
  replaced: Replaced | null
}

export interface Replaced {
  product: string | null
  service: string | null
}

const ROW = statement(storedSample, `select ${ROW_COLUMNS} from ${SCORED_SAMPLES} where code = $1`)

const REPLACEMENT = statement(
  z.object({ code: z.string().nullable() }),
  `select ${REPLACED_BY} as code from sample where code = $1`,
)

/** The sample of the same plant that a kit replaces, by the register ($2) or by an event that names it. */
const REPLACED = statement(
  z.object({ code: z.string(), product: z.string().nullable(), service: z.string().nullable() }),
  `select code, product, service from sample where plant = $3 and code = $2
   union all select code, product, service from sample where plant = $3 and replaced_by = $1
   order by code limit 1`,
)

const SEEN = statement(z.object({ code: z.string() }), 'select code from sample where code = any($1)')

const FORECASTS = statement(
  z.object({ forecasts: forecastDetail.shape.forecasts.nullable() }),
  "select detail -> 'forecasts' as forecasts from forecast where code = $1",
)

/**
 * The dossier of a sample by its kit code, in any notation, at `now` (ms UTC); null if there is no such kit or `scope`
 * does not see the sample. It holds every event placed on the sample, those of its consignment included, without the codes of
 * other kits that `scope` does not see.
 */
export async function getSampleDossier(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  now: number,
): Promise<SampleDossier | null> {
  const kitCode = toCanonical(code)
  if (!isKitCode(kitCode)) return null
  return withReadTransaction(pool, scope, now, async ({ client, register, isDemo }) => {
    const stored = await ROW.first(client, [kitCode])
    if (!stored) return null
    await setScope(client, 'all')
    const scored = await FORECASTS.first(client, [kitCode])
    const bearing = await findRelatedEvents(client, touchSamples([kitCode]))
    const placing = await placeLedgerEvents(client, bearing, register, now, { codes: [kitCode] })
    const kit = placing.kits.get(kitCode) as Kit
    const sample = deriveSample(kit, placing.bySample.get(kitCode) ?? [], register, now)
    const plant = register.plants.get(kit.plant) as PlantContent
    const places = { plantZone: plant.zone, laboratory: register.getCalendar(kit.laboratory) }
    const placed = new Set<unknown>(sample.events.map(({ event }) => event))
    const replacement = (await REPLACEMENT.one(client, [kitCode])).code
    const replaced = await REPLACED.first(client, [kitCode, kit.replaces, kit.plant])
    const replaces = replaced?.code ?? kit.replaces
    const named = [...listNamedKits(sample), ...[replacement, replaces].flatMap((one) => one ?? [])]
    if (scope !== 'all') await setScope(client, scope)
    const seen = new Set(
      scope === 'all' ? named : (await SEEN.all(client, [named])).map(({ code: one }) => one),
    )
    const replacedBy = hideCode(replacement, seen)
    return {
      asOf: now,
      isDemo,
      row: { ...toSampleRow(stored, register, now), replacedBy },
      sample: hideKits(sample, seen),
      receipts: Object.fromEntries(
        bearing
          .filter((event) => placed.has(event))
          .map((event) => [eventKey(event), { acceptedAt: event.acceptedAt, reportedBy: event.reportedBy }]),
      ),
      plant,
      laboratory: register.laboratories.get(kit.laboratory) as LaboratoryContent,
      productName: register.findProduct(kit.plant, sample.product)?.name ?? null,
      protocolName: sample.protocol === null ? null : (register.protocols.get(sample.protocol)?.name ?? null),
      thresholds: register.getThresholds(sample.protocol),
      forecasts: (scored?.forecasts ?? []).map((one) => redactForecast(one, kit, scope)),
      dueCalculations: Object.fromEntries(
        sample.clocks.map(({ limit, startedAt }) => [
          limit.name,
          startedAt === null ? null : explainDue(limit, startedAt, places),
        ]),
      ),
      replacedBy,
      replaces: hideCode(replaces, seen),
      replaced: replaced && seen.has(replaced.code) ? replaced : null,
    }
  })
}

/** The evidence of a stage’s estimate; counts that the scope may not see are null. */
type RedactedEvidence = Pick<Evidence, 'level' | 'borrowedShare'> & {
  [Count in 'arrivals' | 'consignments' | 'unfadedConsignments']: number | null
}

export type RedactedForecast = Omit<ScoredForecast, 'stages'> & {
  stages: (Omit<ForecastStage, 'evidence'> & { evidence: RedactedEvidence })[]
}

/**
 * Removes counts that a scope may not see. A lane is estimated from shipments that its plant and its laboratory both
 * know, so their counts stay. A plant's estimate also counts what it sends to other laboratories, a laboratory's what
 * other makers send, and a service's or the whole pool's both: these counts stay only for a scope that sees everything,
 * the whole plant, or all that goes to the laboratory.
 */
function redactForecast(
  forecast: ScoredForecast,
  { plant, laboratory }: { plant: string; laboratory: string },
  scope: Scope,
): RedactedForecast {
  const mayCount = ({ stage, levels, evidence }: ForecastStage) => {
    if (scope === 'all') return true
    if (evidence.level !== levels[0]) return false
    const kind = stageKind(stage)
    if (kind === 'plant') return scope.plants.includes(plant)
    return kind === 'transit' || scope.laboratories.includes(laboratory)
  }
  const stages = forecast.stages.map((one) => {
    const { level, borrowedShare, arrivals, consignments, unfadedConsignments } = one.evidence
    const counts = mayCount(one)
      ? { arrivals, consignments, unfadedConsignments }
      : { arrivals: null, consignments: null, unfadedConsignments: null }
    return { ...one, evidence: { level, borrowedShare, ...counts } }
  })
  return { ...forecast, stages }
}
