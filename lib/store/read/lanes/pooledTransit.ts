import type pg from 'pg'
import { FEWEST_MAKERS, makerOf } from '@/lib/custody/pooling'
import { lanesOf, shipmentCounts, TRANSIT } from '@/lib/lane/model/lanesOf'
import { type TransitCurve, transitCurveOf } from '@/lib/lane/model/transitCurve'
import { laneRecord } from '../../projection/laneRecord'
import { asReader } from '../../projection/reader'

/** How long shipments of the whole programme take. */
export interface PooledTransit {
  counts: ReturnType<typeof shipmentCounts>
  curve: TransitCurve
}

/** Transit over all lanes at `now` (ms UTC); null where fewer than three makers stand behind it. */
export async function pooledTransit(pool: pg.Pool, now: number): Promise<PooledTransit | null> {
  const record = await laneRecord(pool, now)
  return asReader(pool, 'all', now, async ({ register }) => {
    const makers = new Set<string>()
    for (const { plant, observations } of lanesOf(record).values())
      if (observations.some(({ hasArrived }) => hasArrived)) makers.add(makerOf(register.plants.get(plant)))
    if (makers.size < FEWEST_MAKERS) return null
    const { observations, fit } = record.of(TRANSIT)
    return { counts: shipmentCounts(observations), curve: transitCurveOf(fit, [], observations) }
  })
}
