import type pg from 'pg'
import type { Names } from '@/lib/judgement/dueWords'
import type { Scope } from '@/lib/policy/scope'
import { arrivals, type LaboratoryArrivals } from '@/lib/store/read/arrivals/arrivals'
import { digestSamples } from '@/lib/store/read/digest/digestSamples'
import { dueWork } from '@/lib/store/read/due/dueWork'
import type { DigestItem } from './item'
import { AHEAD_MS, itemsOfDueWork } from './itemsOfDueWork'
import { itemsOfSamples } from './itemsOfSamples'

/** All that digests of one scope can name. */
export interface DigestWork {
  items: DigestItem[]
  names: Names
  /** Zones of plants and laboratories by code. */
  zones: ReadonlyMap<string, string>
  /** Keys of what is overdue and left aside for a while. */
  aside: ReadonlySet<string>
}

/** Reads what a scope may be told, as of `now` (ms UTC). */
export async function digestWork(app: pg.Pool, scope: Scope, now: number): Promise<DigestWork> {
  const work = await dueWork(app, scope, now)
  const codes = [
    ...work.pressing.flatMap(({ sample }) => sample ?? []),
    ...work.owed.flatMap(({ kit }) => kit ?? []),
  ]
  const { rows, places, zones } = await digestSamples(app, scope, codes, now)
  const desks = scope === 'all' ? [] : scope.laboratories
  const expected = desks.length === 0 ? [] : (await arrivals(app, scope, desks, now)).laboratories
  const overdue = [...work.pressing, ...work.aside.map((one) => one.overdue)]
  const dueItems = itemsOfDueWork(work, rows)
  const due = dueItems.flatMap(({ told, sample }) => (told.kind === 'due' && sample ? sample.code : []))
  return {
    items: [
      ...dueItems,
      ...itemsOfSamples(rows.values(), overdue, new Set(due), now),
      ...itemsOfArrivals(
        expected,
        overdue.flatMap(({ sample }) => sample ?? []),
        now,
      ),
    ],
    names: { places: new Map([...work.places, ...places]), products: work.products },
    zones,
    aside: new Set(work.aside.map((one) => one.overdue.subject)),
  }
}

/** What is likely to come within a week, or late, and of which nothing is overdue. */
function itemsOfArrivals(
  laboratories: readonly LaboratoryArrivals[],
  named: readonly string[],
  now: number,
): DigestItem[] {
  const overdue = new Set(named)
  return laboratories.flatMap(({ code, coming }) =>
    coming.flatMap((one): DigestItem[] => {
      const at = (one.p50 ?? Number.POSITIVE_INFINITY) * DAY_MS
      const [first] = one.samples
      const isSoon = at <= now + AHEAD_MS || one.lateSinceDay !== null
      if (!first || one.handedOverAt === null || !isSoon) return []
      if (one.samples.every((sample) => overdue.has(sample.code))) return []
      return [
        {
          told: { kind: 'expected', coming: one },
          key: `expected/${first.code}`,
          plant: one.plant.code,
          actor: { by: 'laboratory', code },
          sample: first,
          loss: null,
          at: one.lateSinceDay === null ? at : now,
        },
      ]
    }),
  )
}

const DAY_MS = 86_400_000
