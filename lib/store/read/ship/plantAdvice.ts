import type pg from 'pg'
import type { Register } from '@/lib/custody/register'
import { MINUTE } from '@/lib/hold/zone'
import type { ShipAdvice } from '@/lib/lane/ship/shipAdvice'
import { includesPlant, type Scope } from '@/lib/policy/scope'
import { getCachedTransitModel } from '../../projection/transitModelCache'
import { withScope } from '../../scope/scope'
import { listShipChoices } from './shipChoices'
import { buildShipPage } from './shipWindows'

/** When to cut at a plant, as its band on the board says it. Instants in ms UTC. */
export interface PlantAdvice {
  advice: ShipAdvice
  serviceNames: Record<string, string>
}

interface CachedAdvice {
  madeAt: number
  advice: PlantAdvice | null
}

const cache = new WeakMap<pg.Pool, { plants: Map<string, CachedAdvice>; isWorking: boolean }>()

/** An advice is worked out anew after this, ms, and when its pickup has gone. */
const STALE_AFTER_MS = 15 * MINUTE

/**
 * What is advised to each of `plants` for its most usual protocol and laboratory, of those that `scope` sees whole: to
 * whoever sees only what goes to one laboratory nothing is said. Nobody waits for it: what is not yet known, or old, is
 * worked out behind the answer, and is there when the board is asked for again.
 */
export function getPlantAdvice(
  pool: pg.Pool,
  register: Register,
  scope: Scope,
  plants: readonly string[],
  now: number,
): ReadonlyMap<string, PlantAdvice> {
  const keeping = cache.get(pool) ?? { plants: new Map<string, CachedAdvice>(), isWorking: false }
  cache.set(pool, keeping)
  const whole = plants.filter((plant) => includesPlant(scope, plant))
  const isFresh = ({ madeAt, advice }: CachedAdvice) =>
    Math.abs(now - madeAt) < STALE_AFTER_MS && (advice?.advice.best?.handOverAt ?? now) >= now
  const fresh = (plant: string) => {
    const known = keeping.plants.get(plant)
    return known && isFresh(known) ? known : null
  }
  const missing = whole.filter((plant) => !fresh(plant))
  if (missing.length > 0 && !keeping.isWorking) {
    keeping.isWorking = true
    void refreshAdvice(pool, register, missing, keeping.plants, now)
      // The board does without; it is tried again with the next.
      .catch((error: Error) => console.error(`No day to cut could be advised: ${error.stack}`))
      .finally(() => {
        keeping.isWorking = false
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
    const record = getCachedTransitModel(pool)
    if (!record) return
    const choices = await withScope(pool, 'all', (client) => listShipChoices(client, register, plant, now))
    const page = choices[0] ? buildShipPage({ ...choices[0], plant }, record, register, now) : null
    const advice = page && {
      advice: page.advice,
      serviceNames: Object.fromEntries(
        page.services.flatMap(({ code, name }) => (code === null || name === null ? [] : [[code, name]])),
      ),
    }
    into.set(plant, { madeAt: now, advice })
    // Other work gets its turn between two plants.
    await new Promise((resolve) => setImmediate(resolve))
  }
}
