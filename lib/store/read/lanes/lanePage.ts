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

/** One lane as it was known at `asOf` (ms UTC). */
export interface LanePage extends NamedLane {
  asOf: number
  isDemo: boolean
  figures: LaneFigures
  /** The last that were dispatched, newest first. */
  shipments: Shipment[]
  /** Those under way for so many open days that they are presumed lost and wait for a ruling, newest first. */
  presumedLost: Shipment[]
  presumedLostSteps: number
}

const MAX_SHIPMENTS = 20
const MAX_SAMPLES = 200

/** The last samples sent by a lane; where $4 is given, of these codes. */
const SENT = statement(
  journeyRow,
  `select code, plant, laboratory, issued_at, journey from sample
   where plant = $1 and laboratory = $2 and journey ->> 'service' is not distinct from $3
     and journey is not null and stage is not null and ($4::text[] is null or code = any($4))
   order by issued_at desc, code limit ${MAX_SAMPLES}`,
)

/** One lane at `now` (ms UTC); null where `scope` lets see nothing that was sent by it. */
export async function readLanePage(
  pool: pg.Pool,
  scope: Scope,
  way: LaneId,
  now: number,
): Promise<LanePage | null> {
  // Asked before anything is read, so that another's lane takes no longer than one that is nowhere.
  if (scope !== 'all' && !scope.plants.includes(way.plant) && !scope.laboratories.includes(way.laboratory))
    return null
  const record = await getTransitModel(pool, now)
  return withReadTransaction(pool, scope, now, async ({ client, register, isDemo }) => {
    const sent = async (codes: readonly string[] | null) => {
      const rows = await SENT.all(client, [way.plant, way.laboratory, way.service, codes])
      return collectShipments(rows.map(readJourney), record)
    }
    const shipments = await sent(null)
    const lane = getLanes(record).get(laneKey(way))
    if (!lane || shipments.length === 0) return null
    const lost = await sent(record.presumedLost)
    return {
      ...addLaneNames(way, register),
      asOf: record.knownAt,
      isDemo,
      figures: computeLaneFigures(lane, record, register, scope === 'all'),
      shipments: shipments.slice(0, MAX_SHIPMENTS),
      presumedLost: lost.filter(({ fate }) => fate === 'presumed lost'),
      presumedLostSteps: record.presumedLostSteps,
    }
  })
}
