import { createHash } from 'node:crypto'
import { DAY } from '@/lib/hold/zone'
import type { Observation } from '@/lib/lane/model/observation'
import { type LaneWatch, watchLane } from '@/lib/lane/pace/laneWatch'

/** The newest last. */
const kept = new Map<string, LaneWatch>()
const MOST_KEPT = 5_000

/**
 * The same as `watchLane` as of the UTC day of `asOf`. It costs tens of milliseconds for a busy lane and does not
 * change until something happens there, while the record of all lanes is made anew whenever something happens anywhere.
 */
export function keptWatch(
  observations: readonly Observation[],
  { zone, asOf }: { zone: string; asOf: number },
): LaneWatch {
  const facts = createHash('sha256').update(`${zone} ${Math.floor(asOf / DAY)}`)
  for (const { startedAt, steps, hasArrived, weight } of observations)
    facts.update(`\n${startedAt} ${steps} ${hasArrived} ${weight}`)
  const key = facts.digest('base64')
  const watch = kept.get(key) ?? watchLane(observations, { zone, asOf })
  kept.delete(key)
  kept.set(key, watch)
  if (kept.size > MOST_KEPT) kept.delete(kept.keys().next().value as string)
  return watch
}
