import { findPickups } from '@/lib/custody/findPickups'
import { findFailure, getFitness } from '@/lib/custody/fitness'
import type { Register } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import type { DutyContent } from '@/lib/custody/testingEntries'
import type { Calendar } from '@/lib/hold/calendar'
import { isPickupDay } from '@/lib/hold/pickup'
import { toLocalDay } from '@/lib/hold/zone'
import { type Act, type ActKind, type Actor, isSameActor, type Occurrence } from './act'
import { DutySamples } from './dutySamples'
import { Occurrences, resolveTestedProduct } from './occurrences'
import { isDone } from './progress'
import { type Parties, planLatestCut, workBack } from './workBack'

/** All that decides what is owed and overdue. */
export interface Programme {
  register: Register
  samples: readonly Sample[]
  pace: Pace
  /** The programme office's zone and working days. */
  office: Calendar
  /** ms UTC. */
  now: number
  /** Only the duties of these plants; absent or null for all. */
  plants?: readonly string[] | null
}

/** A test that a duty asks for, and when each of its acts is due. */
export interface OwedTest extends Occurrence {
  /** The product that is cut, for itself or for its family. */
  product: string
  family: string | null
  plant: string
  laboratory: string
  service: string | null
  /** Without those before receipt while the lane's transit time is unknown. */
  acts: (Act & { isDone: boolean })[]
  /** The latest cut, by the lane's median transit time; null while that is unknown. */
  lastCut: Act | null
  /** The kit that the test relies on: the last issued of those that count and need not be cut again. */
  kit: string | null
  /** Every kit that counts for it, in the order of issue. */
  kits: string[]
}

const MAX_AHEAD_DAYS = 3660

/**
 * The tests that are owed at `now`, by due day: each duty's test whose window is open, and those whose first act is due
 * within `aheadDays` (3,660 at most). A test is no longer owed once it is reported on a fit sample, or once the next
 * test's window is open.
 */
export function findOwedTests(
  programme: Programme,
  aheadDays: number,
  dutySamples = new DutySamples(programme.samples, programme.register),
): OwedTest[] {
  const { register, now } = programme
  return [...register.duties.values()]
    .flatMap((duty) => {
      const tested = resolveTestedProduct(duty, register)
      if (tested === null || (programme.plants && !programme.plants.includes(tested.plant))) return []
      const { product, plant, zone } = tested
      const parties = findParties(duty, plant, programme)
      const occurrences = new Occurrences(duty, register)
      const today = toLocalDay(now, zone)
      const lane = { plant, laboratory: duty.laboratory, service: duty.service ?? null }
      const [transit, half] = [programme.pace.p90TransitDays(lane), programme.pace.medianTransitDays(lane)]
      const last = today + Math.min(aheadDays, MAX_AHEAD_DAYS)
      const found: OwedTest[] = []
      for (let number = occurrences.findOpen(today)?.number ?? 0; ; number += 1) {
        const occurrence = occurrences.at(number)
        if (occurrence === null) return found
        const acts = workBack(duty, occurrence.dueDay, parties, transit)
        const isOpen = occurrence.opensDay <= today
        if (!isOpen && (acts[0] as Act).dueDay > last) return found
        const lastCut = planLatestCut(duty, occurrence.dueDay, parties, half)
        const owed = toOwedTest({ duty, product, plant, occurrence, acts, lastCut, dutySamples, programme })
        if (owed) found.push(owed)
      }
    })
    .sort((a, b) => a.dueDay - b.dueDay || (a.duty < b.duty ? -1 : 1))
}

interface TestFacts {
  duty: DutyContent
  product: string
  plant: string
  occurrence: Occurrence
  acts: Act[]
  lastCut: Act | null
  dutySamples: DutySamples
  programme: Programme
}

/** Null if the test is reported on a valid sample. */
function toOwedTest({
  duty,
  product,
  plant,
  occurrence,
  acts,
  lastCut,
  dutySamples,
  programme,
}: TestFacts): OwedTest | null {
  const { now, register } = programme
  const samples = dutySamples.samplesFor(occurrence)
  const valid = samples.filter(
    (sample) => findFailure(sample, now) === null && sample.history.ending === null && !isReplaced(sample),
  )
  if (valid.some((one) => one.history.milestones.has('reported') && getFitness(one, now) === 'fit'))
    return null
  const sample = valid.at(-1)
  const zone = register.getZone(plant) as string
  return {
    ...occurrence,
    product,
    family: duty.family ?? null,
    plant,
    laboratory: duty.laboratory,
    service: duty.service ?? null,
    acts: acts.map((act) => ({ ...act, isDone: sample !== undefined && isDone(sample, act.act, zone, now) })),
    lastCut,
    kit: sample?.kit.code ?? null,
    kits: samples.map(({ kit }) => kit.code),
  }
}

function isReplaced({ history }: Sample): boolean {
  return history.replacedBy !== null
}

function findParties(duty: DutyContent, plant: string, { register, office }: Programme): Parties {
  const pickups = findPickups(register, plant, duty.service ?? null)
  return {
    programme: office,
    plant: { code: plant, calendar: register.getWorkdays(plant) },
    laboratory: { code: duty.laboratory, calendar: register.getCalendar(duty.laboratory) },
    isPickupDay: (day) => isPickupDay(pickups, day),
  }
}

/** `service` is null while none is known. */
interface Lane {
  plant: string
  laboratory: string
  service: string | null
}

/**
 * How long parts of the work take: the laboratory's open days, in whole numbers, after the day on which the part began
 * (the plant's day for transit). Null while unknown.
 */
export interface Pace {
  /** From dispatch to receipt. */
  medianTransitDays(lane: Lane): number | null
  p90TransitDays(lane: Lane): number | null
  p95TransitDays(lane: Lane): number | null
  /** From receipt to the chamber. A duty's own number comes first. */
  p95LoadDays(laboratory: string): number | null
  /** From the chamber to the report. */
  p95ReportDays(laboratory: string): number | null
}

/**
 * The first test of a duty that is due today or later, with its acts as if nothing had been done for it, and the due days
 * (day numbers in the laboratory's zone) of the `more` tests after it. Null if the register lacks what the duty names, or
 * if its only test was due before.
 */
export function findNextTest(
  duty: DutyContent,
  programme: Omit<Programme, 'samples'>,
  more: number,
): { test: OwedTest; laterDays: number[] } | null {
  const { register, pace, now } = programme
  const tested = resolveTestedProduct(duty, register)
  if (tested === null) return null
  const { product, plant, zone } = tested
  const occurrences = new Occurrences(duty, register)
  const today = toLocalDay(now, zone)
  let next = occurrences.at(0)
  while (next !== null && next.dueDay < today) next = occurrences.at(next.number + 1)
  if (next === null) return null
  const { number, dueDay } = next
  const { laboratory, service = null, family = null } = duty
  const parties = findParties(duty, plant, { ...programme, samples: [] })
  const lane = { plant, laboratory, service }
  const transit = pace.p90TransitDays(lane)
  const lastCut = planLatestCut(duty, dueDay, parties, pace.medianTransitDays(lane))
  const acts = workBack(duty, dueDay, parties, transit).map((act) => ({ ...act, isDone: false }))
  const later = Array.from({ length: more }, (_, index) => occurrences.at(number + 1 + index))
  return {
    test: { ...next, product, family, plant, laboratory, service, acts, lastCut, kit: null, kits: [] },
    laterDays: later.flatMap((one) => (one === null ? [] : [one.dueDay])),
  }
}

/** The acts of one test that the same actor has to do on the same day. */
export interface DueLine {
  owed: OwedTest
  acts: ActKind[]
  actor: Actor
  /** The last local day (a day number in `zone`) on which they are in time. */
  dueDay: number
  zone: string
  /** The last instant of that day, ms UTC. */
  dueAt: number
}

/** The acts that are neither done nor overdue at `now` (ms UTC), by due time. */
export function listDueLines(owed: readonly OwedTest[], now: number): DueLine[] {
  return owed
    .flatMap((one) => toDueLines(one, now))
    .sort((a, b) => a.dueAt - b.dueAt || (a.owed.duty < b.owed.duty ? -1 : a.owed.duty > b.owed.duty ? 1 : 0))
}

function toDueLines(owed: OwedTest, now: number): DueLine[] {
  const lines: DueLine[] = []
  for (const { act, actor, dueDay, zone, dueAt, isDone } of owed.acts) {
    if (isDone || dueAt < now) continue
    const last = lines.at(-1)
    if (last && isSameActor(last.actor, actor) && last.dueDay === dueDay) last.acts.push(act)
    else lines.push({ owed, acts: [act], actor, dueDay, zone, dueAt })
  }
  return lines
}
