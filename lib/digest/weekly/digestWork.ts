import type pg from 'pg'
import type { Names } from '@/lib/judgement/dueText'
import type { Scope } from '@/lib/policy/scope'
import { getArrivals, type LaboratoryArrivals } from '@/lib/store/read/arrivals/arrivals'
import { getDigestSamples } from '@/lib/store/read/digest/digestSamples'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { LOOKAHEAD_MS } from './dueItems'
import type { DigestItem } from './item'
import { listNamedSamples } from './sampleItems'
import { toWorkItems } from './workItems'

/** Everything that digests of one scope can name. */
export interface DigestWork {
  items: DigestItem[]
  names: Names
  /** Zones of plants and laboratories by code. */
  zones: ReadonlyMap<string, string>
  /** Keys of what is overdue and set aside. */
  setAside: ReadonlySet<string>
}

/** As of `now` (ms UTC). */
export async function readDigestWork(app: pg.Pool, scope: Scope, now: number): Promise<DigestWork> {
  const work = await getDueWork(app, scope, now)
  const overdue = [...work.overdue, ...work.setAside.map((one) => one.overdue)]
  const codes = [
    ...work.overdue.flatMap(({ sample }) => sample ?? []),
    ...work.owed.flatMap(({ kit }) => kit ?? []),
    ...listNamedSamples(work.judged, now),
  ]
  const rows = await getDigestSamples(app, scope, codes, now)
  const desks = scope === 'all' ? [] : scope.laboratories
  const expected = desks.length === 0 ? [] : (await getArrivals(app, scope, desks, now)).laboratories
  return {
    items: [
      ...toWorkItems(work, rows),
      ...toArrivalItems(
        expected,
        overdue.flatMap(({ sample }) => sample ?? []),
        now,
      ),
    ],
    names: work,
    zones: work.zones,
    setAside: new Set(work.setAside.map((one) => one.overdue.subject)),
  }
}

/** Consignments that are late or likely to come within a week, and of which nothing is overdue. */
function toArrivalItems(
  laboratories: readonly LaboratoryArrivals[],
  named: readonly string[],
  now: number,
): DigestItem[] {
  const overdue = new Set(named)
  return laboratories.flatMap(({ code, coming }) =>
    coming.flatMap((one): DigestItem[] => {
      const at = (one.p50 ?? Number.POSITIVE_INFINITY) * DAY_MS
      const [first] = one.samples
      const isSoon = at <= now + LOOKAHEAD_MS || one.lateSinceDay !== null
      if (!first || one.handedOverAt === null || !isSoon) return []
      if (one.samples.every((sample) => overdue.has(sample.code))) return []
      return [
        {
          reason: { kind: 'expected', coming: one },
          key: `expected/${first.code}`,
          plant: one.plant.code,
          actor: { by: 'laboratory', code },
          sample: first,
          restraint: null,
          isUrgent: false,
          loss: null,
          at: one.lateSinceDay === null ? at : now,
        },
      ]
    }),
  )
}

const DAY_MS = 86_400_000
