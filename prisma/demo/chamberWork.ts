import type { Milestone } from '@/lib/hold/milestone'
import { DAY, HOUR, MINUTE, toLocalDay } from '@/lib/hold/zone'
import type { RandomStream } from './randomStream'
import type { ProductEntry } from './registerDocument'
import type { OpenLaboratory } from './setting'
import type { LocalDay } from './wallClock'

/** Conditioning and test times per protocol. Invented, like its limits. */
const WORK: Record<string, { conditioningHours: number; testDays: number }> = {
  FELT: { conditioningHours: 24, testDays: 3 },
  CORK: { conditioningHours: 24, testDays: 7 },
  PANEL: { conditioningHours: 48, testDays: 14 },
  FOAM: { conditioningHours: 22, testDays: 3 },
}

/** The laboratory's work on a received sample: instants in ms UTC, within its working hours. */
export function drawChamberWork(
  product: ProductEntry,
  laboratory: OpenLaboratory,
  before: Partial<Record<Milestone, number>>,
  random: RandomStream,
): { conditioned: number; loaded: number; reported: number } {
  const { collected = 0, received = 0 } = before
  const { conditioningHours, testDays } = WORK[product.protocol] ?? { conditioningHours: 24, testDays: 7 }
  const zone = laboratory.entry.zone
  const isOld = received - collected > 9 * DAY

  const dock = isOld ? random.weighted([0.85, 0.15]) : random.weighted(laboratory.habits.dockSteps)
  const conditioned = drawWorkingTime(
    laboratory,
    toLocalDay(received, zone),
    dock,
    received + 40 * MINUTE,
    random,
  )
  const ripe = conditioned + conditioningHours * HOUR
  const wait = isOld ? 0 : random.weighted([0.76, 0.2, 0.04])
  const loaded = drawWorkingTime(laboratory, toLocalDay(ripe, zone), wait, ripe, random)
  const tested = loaded + testDays * DAY
  const writing = random.weighted(laboratory.habits.reportSteps)
  const reported = drawWorkingTime(laboratory, toLocalDay(tested, zone), writing, tested, random)
  return { conditioned, loaded, reported }
}

/**
 * A time in working hours, `steps` open days after `day`, never before `readyAt`. Benches work for an hour after the
 * receiving desk closes.
 */
function drawWorkingTime(
  laboratory: OpenLaboratory,
  day: LocalDay,
  steps: number,
  readyAt: number,
  random: RandomStream,
): number {
  for (let open = laboratory.days.after(day, steps); ; open = laboratory.days.after(open, 1)) {
    const { opensAt, closesAt } = laboratory.days.hours(open)
    const from = Math.max(opensAt + 15 * MINUTE, readyAt)
    const room = closesAt + HOUR - from
    if (room > 20 * MINUTE)
      return Math.floor((from + Math.min(room, 4 * HOUR) * random.next()) / MINUTE) * MINUTE
  }
}
