import type { Register } from '@/lib/custody/register'
import type { DutyContent } from '@/lib/custody/testingEntries'
import { getDayStart, parseIsoDate, toCivilDate, toDayNumber, toLocalDay } from '@/lib/hold/zone'
import type { Occurrence } from './act'

/**
 * The last day of the month `months` after that of `day` (day numbers). A limit in months is met through the end of the
 * last month (EPA letter RO 14933, 27 May 2020).
 */
export function computeMonthEnd(day: number, months: number): number {
  const { year, month } = toCivilDate(day)
  return toDayNumber(year, month + months + 1, 0)
}

/** The tests that a duty asks for. Each is counted from the first day, so that short months do not make the later ones drift. */
export class Occurrences {
  readonly #duty: DutyContent
  readonly #first: number
  /** The last day on which a certificate of the same product or family is valid. */
  readonly #expiryDay: number | null

  constructor(duty: DutyContent, register: Register) {
    this.#duty = duty
    this.#first = parseIsoDate(duty.first) as number
    this.#expiryDay = findExpiryDays(register).get(toCoverageKey(duty)) ?? null
  }

  /** The test of this number, from 0; null after the only test of a duty that is owed once. */
  at(number: number): Occurrence | null {
    if (number < 0 || (number > 0 && this.#duty.everyMonths === undefined)) return null
    const usual = this.#usualDay(number)
    const expiry = this.#expiryDay
    const isSooner =
      expiry !== null && expiry < usual && (number === 0 || expiry > this.#usualDay(number - 1))
    const dueDay = isSooner ? expiry : usual
    return {
      duty: this.#duty.code,
      number,
      dueDay,
      opensDay: dueDay - this.#duty.windowDays,
      reason: isSooner ? 'certificate' : 'duty',
    }
  }

  /** The test for which a kit issued on a day (in the laboratory's zone) counts: the last one whose window is open. */
  findOpen(day: number): Occurrence | null {
    const { everyMonths } = this.#duty
    const months = Math.floor((day - this.#first) / 31)
    let number = everyMonths === undefined ? 0 : Math.max(0, Math.floor(months / everyMonths) - 2)
    let found: Occurrence | null = null
    for (;;) {
      const next = this.at(number)
      if (next === null || next.opensDay > day) return found
      found = next
      number += 1
    }
  }

  /** The due day by the duty's months alone. */
  #usualDay(number: number): number {
    return number === 0 ? this.#first : computeMonthEnd(this.#first, number * (this.#duty.everyMonths ?? 0))
  }
}

const expiryDayCache = new WeakMap<Register, ReadonlyMap<string, number>>()

/** The last valid day of the certificates, by what they cover. */
function findExpiryDays(register: Register): ReadonlyMap<string, number> {
  const cached = expiryDayCache.get(register)
  if (cached) return cached
  const days = new Map<string, number>()
  for (const certificate of register.certificates.values()) {
    const covered = toCoverageKey(certificate)
    const day = parseIsoDate(certificate.expires) as number
    days.set(covered, Math.max(day, days.get(covered) ?? day))
  }
  expiryDayCache.set(register, days)
  return days
}

function toCoverageKey({ product, family }: { product?: string; family?: string }): string {
  return JSON.stringify([product ?? null, family ?? null])
}

/** The product that is cut for a duty: its own, or the member of its family that is tested for all. */
export function findTestedProduct(duty: DutyContent, register: Register): string | null {
  if (duty.product !== undefined) return duty.product
  return register.families.get(duty.family ?? '')?.tested ?? null
}

/** The product that is cut for a duty, its plant, and the laboratory's zone; null if one of them is not in the register. */
export function resolveTestedProduct(
  duty: DutyContent,
  register: Register,
): { product: string; plant: string; zone: string } | null {
  const product = findTestedProduct(duty, register)
  const plant = register.products.get(product ?? '')?.plant
  const zone = register.laboratories.get(duty.laboratory)?.zone
  if (product === null || plant === undefined || zone === undefined || !register.plants.has(plant))
    return null
  return { product, plant, zone }
}

/** A test whose window is open. A kit of its product and laboratory counts for it by its time of issue. */
export interface OpenTest {
  product: string
  laboratory: string
  /** A kit counts from here (ms UTC), up to but not including `closesAt`, from which it counts for the next test. */
  opensAt: number
  closesAt: number | null
}

/** The test of each duty whose window is open at `now` (ms UTC). `plants`: null for all. */
export function findOpenTests(register: Register, plants: readonly string[] | null, now: number): OpenTest[] {
  const wanted = plants && new Set(plants)
  return [...register.duties.values()].flatMap((duty) => {
    const tested = resolveTestedProduct(duty, register)
    if (tested === null || (wanted && !wanted.has(tested.plant))) return []
    const { product, zone } = tested
    const occurrences = new Occurrences(duty, register)
    const open = occurrences.findOpen(toLocalDay(now, zone))
    if (!open) return []
    const next = occurrences.at(open.number + 1)
    return [
      {
        product,
        laboratory: duty.laboratory,
        opensAt: getDayStart(open.opensDay, zone),
        closesAt: next && getDayStart(next.opensDay, zone),
      },
    ]
  })
}
