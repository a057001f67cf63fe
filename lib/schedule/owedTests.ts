import { findPickups } from '@/lib/custody/findPickups'
import type { Register } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import type { DutyContent } from '@/lib/custody/testingEntries'
import type { Calendar } from '@/lib/hold/calendar'
import { isPickupDay } from '@/lib/hold/pickup'
import { toLocalDay } from '@/lib/hold/zone'
import type { Act, ActKind, Actor, Occurrence } from './act'
import { DutySamples } from './dutySamples'
import { Occurrences, resolveTestedProduct } from './occurrences'
import { findFailure, isDone } from './progress'
import { type Parties, planLatestCut, workBack } from './workBack'

/** What is known when it is asked what is owed. */
export interface Programme {
  register: Register
  samples: readonly Sample[]
  pace: Pace
  /** The programme office's zone and working days. */
  office: Calendar
  /** ms UTC. */
  now: number
  /** The plants whose duties are asked; those of all where it is absent. */
  plants?: readonly string[] | null
}

/** One test that is owed, with the dates by which each act of it is due. */
export interface OwedTest extends Occurrence {
  /** The product that is cut, for itself or for its family. */
  product: string
  family: string | null
  plant: string
  laboratory: string
  service: string | null
  /** Without those before receipt where the lane's transit is not known. */
  acts: (Act & { isDone: boolean })[]
  /** The cut as late as it can be if the sample travels as fast as half do; null where the lane's transit is not known. */
  lastCut: Act | null
  /** The kit on which the test stands: the last issued of those that count and need not be cut again. */
  kit: string | null
  /** Every kit that counts for it, by issue. */
  kits: string[]
}

/** The longest look ahead that is taken, in days. */
const MAX_AHEAD_DAYS = 3660

/**
 * The tests that are owed at `now`, by due day: of each duty the one whose window is open, and those whose first act
 * is due within `aheadDays`. A test that is reported on a sample that holds is owed no more, nor is one whose
 * successor's window is open.
 */
export function findOwedTests(
  programme: Programme,
  aheadDays: number,
  of = new DutySamples(programme.samples, programme.register),
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
        const owed = toOwedTest({ duty, product, plant, occurrence, acts, lastCut, of, programme })
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
  of: DutySamples
  programme: Programme
}

/** One test; null where it is reported on a sample that holds. */
function toOwedTest({
  duty,
  product,
  plant,
  occurrence,
  acts,
  lastCut,
  of,
  programme,
}: TestFacts): OwedTest | null {
  const { now, register } = programme
  const samples = of.of(occurrence)
  const sound = samples.filter(
    (sample) => findFailure(sample, now) === null && sample.history.ending === null && !isReplaced(sample),
  )
  if (sound.some((sample) => sample.history.milestones.has('reported'))) return null
  const sample = sound.at(-1)
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

/** Who takes part in a duty's tests, and when each of them works. */
function findParties(duty: DutyContent, plant: string, { register, office }: Programme): Parties {
  const pickups = findPickups(register, plant, duty.service ?? null)
  return {
    programme: office,
    plant: { code: plant, calendar: register.getWorkdays(plant) },
    laboratory: { code: duty.laboratory, calendar: register.getCalendar(duty.laboratory) },
    isPickupDay: (day) => isPickupDay(pickups, day),
  }
}

/** A lane: one plant to one laboratory by one carrier service, null while none is known. */
interface Lane {
  plant: string
  laboratory: string
  service: string | null
}

/**
 * How long parts of the work take, from whoever estimates it; each null where it is not known. All are whole numbers
 * of the laboratory's open days after the day (the plant's, for transit) on which the part began.
 */
export interface Pace {
  /** From dispatch to receipt: half take no longer. */
  medianTransitDays(lane: Lane): number | null
  /** From dispatch to receipt: nine of ten take no longer. */
  p90TransitDays(lane: Lane): number | null
  /** From dispatch to receipt: 95 of a hundred take no longer. */
  p95TransitDays(lane: Lane): number | null
  /** From receipt to the chamber, where no duty says: 95 of a hundred take no longer. */
  p95LoadDays(laboratory: string): number | null
  /** From the chamber to the report, where no duty says: 95 of a hundred take no longer. */
  p95ReportDays(laboratory: string): number | null
}

/**
 * The first test of a duty whose report is not due before today, worked back to its acts as if nothing had been done
 * for it, and the days (day numbers in the laboratory's zone) on which those after it are due, `more` of them. Null
 * where the programme's register lacks what the duty names, or where its only test was due before.
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

/** The acts of one test that one has to do on one day. */
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

/** What is still to be done of what is owed and in time at `now` (ms UTC), by when it is due. */
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

function isSameActor(a: Actor, b: Actor): boolean {
  return a.by === b.by && (a.by === 'programme' || b.by === 'programme' || a.code === b.code)
}
