import type pg from 'pg'
import type { Register } from '@/lib/custody/register'
import { MINUTE } from '@/lib/hold/zone'
import type { ShipAdvice } from '@/lib/lane/ship/shipAdvice'
import { includesPlant, type Scope } from '@/lib/policy/scope'
import { getLog } from '@/lib/telemetry/log'
import { getCachedTransitModel } from '../../projection/transitModelCache'
import { withScope } from '../../scope/scope'
import { listShipChoices } from './shipChoices'
import { buildShipPage } from './shipWindows'

/** When to cut at a plant, for its band on the board. Instants in ms UTC. */
export interface PlantAdvice {
  advice: ShipAdvice
  serviceNames: Record<string, string>
}

interface CachedAdvice {
  madeAt: number
  advice: PlantAdvice | null
}

const cache = new WeakMap<pg.Pool, { plants: Map<string, CachedAdvice>; isRefreshing: boolean }>()

/** Age at which an advice is recomputed. It is also recomputed once its pickup has gone. */
const STALE_AFTER_MS = 15 * MINUTE

/**
 * The advice for each of `plants` with its most used protocol and laboratory. A scope that does not see the whole plant
 * gets none. The call never waits: missing or stale advice is computed in the background for the next request.
 */
export function getPlantAdvice(
  pool: pg.Pool,
  register: Register,
  scope: Scope,
  plants: readonly string[],
  now: number,
): ReadonlyMap<string, PlantAdvice> {
  const entry = cache.get(pool) ?? { plants: new Map<string, CachedAdvice>(), isRefreshing: false }
  cache.set(pool, entry)
  const whole = plants.filter((plant) => includesPlant(scope, plant))
  const isFresh = ({ madeAt, advice }: CachedAdvice) =>
    Math.abs(now - madeAt) < STALE_AFTER_MS && (advice?.advice.best?.handOverAt ?? now) >= now
  const fresh = (plant: string) => {
    const known = entry.plants.get(plant)
    return known && isFresh(known) ? known : null
  }
  const missing = whole.filter((plant) => !fresh(plant))
  if (missing.length > 0 && !entry.isRefreshing) {
    entry.isRefreshing = true
    void refreshAdvice(pool, register, missing, entry.plants, now)
      // The board does without; the next request tries again.
      .catch((error: Error) =>
        getLog().error({ stack: error.stack }, `No day to cut could be advised: ${error.message}`),
      )
      .finally(() => {
        entry.isRefreshing = false
      })
  }
  return new Map(
    whole.flatMap((plant) => {
      const advice = fresh(plant)?.advice
      return advice ? [[plant, advice] as const] : []
    }),
  )
}

async function refreshAdvice(
  pool: pg.Pool,
  register: Register,
  plants: readonly string[],
  into: Map<string, CachedAdvice>,
  now: number,
): Promise<void> {
  for (const plant of plants) {
    const model = getCachedTransitModel(pool)
    if (!model) return
    const choices = await withScope(pool, 'all', (client) => listShipChoices(client, register, plant, now))
    const page = choices[0] ? buildShipPage({ ...choices[0], plant }, model, register, now) : null
    const advice = page && {
      advice: page.advice,
      serviceNames: Object.fromEntries(
        page.services.flatMap(({ code, name }) => (code === null || name === null ? [] : [[code, name]])),
      ),
    }
    into.set(plant, { madeAt: now, advice })
    // Let other work run between two plants.
    await new Promise((resolve) => setImmediate(resolve))
  }
}
