import type pg from 'pg'
import { getLanes, laneKey } from '@/lib/lane/model/lanes'
import { collectShipments, type Shipment } from '@/lib/lane/model/shipments'
import type { LaneId } from '@/lib/lane/model/stage'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { journeyRow, readJourney } from '../../projection/storedJourney'
import { getTransitModel } from '../../projection/transitModelCache'
import { statement } from '../../scope/statement'
import { addLaneNames, computeLaneFigures, type LaneFigures, type NamedLane } from './laneFigures'

/** One lane as known at `asOf` (ms UTC). */
export interface LanePage extends NamedLane {
  asOf: number
  isDemo: boolean
  figures: LaneFigures
  /** The latest dispatched, newest first. */
  shipments: Shipment[]
  /** Those under way so long that they are presumed lost and need a ruling, newest first. */
  presumedLost: Shipment[]
  presumedLostSteps: number
}

const MAX_SHIPMENTS = 20
const MAX_SAMPLES = 200

/** The latest samples sent on a lane; if $4 is given, only these codes. */
const SENT = statement(
  journeyRow,
  `select code, plant, laboratory, issued_at, journey from sample
   where plant = $1 and laboratory = $2 and journey ->> 'service' is not distinct from $3
     and journey is not null and stage is not null and ($4::text[] is null or code = any($4))
   order by issued_at desc, code limit ${MAX_SAMPLES}`,
)

/** One lane at `now` (ms UTC); null if nothing sent on it is within `scope`. */
export async function readLanePage(
  pool: pg.Pool,
  scope: Scope,
  lane: LaneId,
  now: number,
): Promise<LanePage | null> {
  // Checked before reading anything, so that timing does not tell another's lane from one that does not exist.
  if (scope !== 'all' && !scope.plants.includes(lane.plant) && !scope.laboratories.includes(lane.laboratory))
    return null
  const model = await getTransitModel(pool, now)
  return withReadTransaction(pool, scope, now, async ({ client, register, isDemo }) => {
    const sent = async (codes: readonly string[] | null) => {
      const rows = await SENT.all(client, [lane.plant, lane.laboratory, lane.service, codes])
      return collectShipments(rows.map(readJourney), model)
    }
    const shipments = await sent(null)
    const seen = getLanes(model).get(laneKey(lane))
    if (!seen || shipments.length === 0) return null
    const lost = await sent(model.presumedLost)
    return {
      ...addLaneNames(lane, register),
      asOf: model.knownAt,
      isDemo,
      figures: computeLaneFigures(seen, model, register, scope === 'all'),
      shipments: shipments.slice(0, MAX_SHIPMENTS),
      presumedLost: lost.filter(({ outcome }) => outcome === 'presumed lost'),
      presumedLostSteps: model.presumedLostSteps,
    }
  })
}
