import { generateKitCode } from '@/lib/custody/kitCode'
import { MILESTONES } from '@/lib/hold/milestone'
import { DAY, HOUR } from '@/lib/hold/zone'
import { makeManyKits, makeRandom } from '@/tests/bench/manyEvents'
import type { SentEvent } from './sentRecord'

const KITS = 120
const SEED = 20_261_130

/** The register of every tortured programme: one plant, one laboratory, kits with limits of hours, days and working days. */
export const REGISTER = makeManyKits(KITS, SEED)
const CODES = REGISTER.kits.map(({ code }) => code)
const strangers = makeRandom(SEED + 1)
/** Kits that the register lacks: their events are acknowledged as unplaced. */
const UNKNOWN_CODES = Array.from({ length: 5 }, () => generateKitCode(strangers))

export const pick = <T>(random: () => number, from: readonly T[]): T =>
  from[Math.floor(random() * from.length)] as T

/**
 * Makes valid events of `source`, each with an id of its own that begins with `prefix`: milestones, scans of whole consignments, events of
 * unknown kits, events that are ahead of now by hours, and withdrawals of earlier ones.
 */
export function makeEventSource(
  source: string,
  prefix: string,
  random: () => number,
): (count: number) => SentEvent[] {
  let made = 0
  const keys: string[] = []
  const makeOne = (): SentEvent => {
    made += 1
    const id = `${prefix}-${made}`
    const common = { source, id, at: chooseInstant(random) }
    const waybill = `W${Math.floor(random() * 20)}`
    const roll = random()
    if (roll < 0.08 && keys.length > 0)
      return { ...common, sample: pick(random, CODES), kind: 'withdrawn', corrects: pick(random, keys) }
    if (roll < 0.16) return { ...common, kind: 'scanned', service: 'road', waybill }
    const sample = roll < 0.2 ? pick(random, UNKNOWN_CODES) : pick(random, CODES)
    const kind = pick(random, MILESTONES)
    const place = MILESTONES.indexOf(kind) < 4 ? 'PB1' : 'LB1'
    return { ...common, sample, kind, place, ...(kind === 'dispatched' ? { service: 'road', waybill } : {}) }
  }
  return (count) =>
    Array.from({ length: count }, () => {
      const event = makeOne()
      keys.push(`${event.source}/${event.id}`)
      return event
    })
}

/** Mostly within the last twenty days; one in thirty lies hours ahead, so that a row has to be derived again later. */
function chooseInstant(random: () => number): string {
  const ms = random() < 1 / 30 ? HOUR * (2 + random() * 40) : -random() * 20 * DAY
  return new Date(Math.floor(Date.now() + ms)).toISOString()
}
