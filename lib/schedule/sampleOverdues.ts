import { pickupsOf } from '@/lib/custody/pickupsOf'
import type { Sample } from '@/lib/custody/sample'
import { openDayAfter } from '@/lib/hold/calendar'
import type { Milestone } from '@/lib/hold/milestone'
import { departureDay, isPickupDay } from '@/lib/hold/pickup'
import { lastInstantOf, localDay } from '@/lib/hold/zone'
import type { ActKind } from './act'
import { isCancelled, isOwed } from './dutySamples'
import { findActor, type Overdue, type OverdueKind } from './overdueKinds'
import type { Owed, Programme } from './owed'
import { failureOf, hasReached, isPosted, owesFormCopy, postedDay, unruledOf } from './progress'
import { firstFitting } from './workBack'

/** What was missed, and the last instant (ms UTC) at which it was in time. */
export interface Missed {
  kind: OverdueKind
  sinceAt: number
  more?: Partial<Pick<Overdue, 'reason' | 'deviation'>>
}

/** A sample with where and when those who act on it work. */
class Case {
  readonly plantZone: string
  constructor(
    readonly sample: Sample,
    readonly owed: Owed | null,
    readonly programme: Programme,
  ) {
    this.plantZone = programme.register.zoneOfPlace(sample.kit.plant) as string
  }

  get workdays() {
    return this.programme.register.workdaysOf(this.sample.kit.plant)
  }
  get openDays() {
    return this.programme.register.calendarOf(this.sample.kit.laboratory)
  }
  /** When an act of the test that the sample stands for is due; null where it stands for none. */
  act(kind: ActKind) {
    return this.owed?.acts.find(({ act }) => act === kind) ?? null
  }
  has(milestone: Milestone): boolean {
    return hasReached(this.sample, milestone)
  }
  /** The latest reading of a milestone, ms UTC: an act is not asked for before it surely could be done. */
  latestAt(milestone: Milestone): number | null {
    return this.sample.history.milestones.get(milestone)?.latestAt ?? null
  }
  /** The last instant of the `amount`-th open day of the laboratory after that of `at`. */
  laboratoryBy(at: number, amount: number): number {
    const { zone } = this.openDays
    return lastInstantOf(openDayAfter(localDay(at, zone), amount, this.openDays), zone)
  }
  service(): string | null {
    const { events } = this.sample.history.milestones.get('dispatched') ?? { events: [] }
    return events.find(({ service }) => service !== null)?.service ?? this.sample.kit.service
  }
}

/** All that is overdue on samples. `owedOfSample` gives the test that a sample stands for, if it is still owed. */
export function sampleOverdues(
  programme: Programme,
  owedOfSample: (sample: Sample) => Owed | null,
): Overdue[] {
  const { register } = programme
  const known = programme.samples.filter(
    ({ kit }) =>
      kit.purpose !== 'retained' &&
      register.plants.has(kit.plant) &&
      register.laboratories.has(kit.laboratory),
  )
  const found = known.flatMap((sample) => {
    const owed = owedOfSample(sample)
    return missedOn(new Case(sample, owed, programme)).map((missed) =>
      overdueOn(sample, owed, missed, programme),
    )
  })
  const lapsed = recollectionsOverdue(known, programme).map(({ sample, missed }) =>
    overdueOn(sample, owedOfSample(sample), missed, programme),
  )
  return [...found, ...lapsed]
}

function missedOn(one: Case): Missed[] {
  const { sample, programme } = one
  const { now } = programme
  if (sample.history.ending?.kind === 'cancelled') return []
  const unruled = unruledOf(sample, now).map((deviation) => ({
    kind: 'deviation with no ruling' as const,
    sinceAt: deviation.at,
    more: { deviation: deviation.key },
  }))
  // On what is lapsed or gone no next step is asked for: it has to be cut again.
  if (sample.history.ending !== null || sample.history.replacedBy !== null) return unruled
  if (failureOf(sample, now) !== null) return unruled
  const missed = [nextStep(one), formCopy(one)].filter((step) => step !== null)
  return [...unruled, ...missed.filter(({ sinceAt }) => sinceAt < now)]
}

/** The one step that a sample waits for, with when it was to be done; null where no date is known. */
function nextStep(one: Case): Missed | null {
  const { sample, plantZone, programme } = one
  if (one.has('reported')) return null
  if (one.has('loaded')) return report(one)
  if (one.has('received')) return loading(one)
  if (sample.history.milestones.has('delivered')) return receipt(one)
  if (one.has('dispatched')) return transit(one)
  if (one.has('collected')) return handOver(one)
  return isPosted(sample, plantZone, programme.now) ? cut(one) : posting(one)
}

function posting({ owed, sample, programme }: Case): Missed {
  const { office } = programme
  const planned = owed?.acts.find(({ act }) => act === 'post kit')?.dueAt
  const issued = localDay(sample.kit.issuedAt, office.zone)
  // A kit that was issued after its date goes out on the next working day of the office.
  const soonest = lastInstantOf(openDayAfter(issued, 1, office), office.zone)
  return { kind: 'kit not posted', sinceAt: Math.max(planned ?? soonest, soonest) }
}

function cut(one: Case): Missed | null {
  const planned = one.act('cut')
  const duty = one.programme.register.duties.get(one.owed?.duty ?? '')
  if (!planned || !duty) return null
  const { zone } = one.workdays
  // What was issued or posted late is cut on the first workday on which the kit can be there.
  const there = postedDay(one.sample, zone) + duty.kitDays
  const soonest = lastInstantOf(
    firstFitting(there, one.workdays, () => true),
    zone,
  )
  return { kind: 'not cut', sinceAt: Math.max(planned.dueAt, soonest) }
}

function handOver(one: Case): Missed | null {
  const cutAt = one.latestAt('collected') ?? one.latestAt('sealed')
  if (cutAt === null) return null
  const { kit } = one.sample
  const { register } = one.programme
  const { zone } = one.workdays
  const pickups = pickupsOf(register, kit.plant, kit.service)
  const next = firstFitting(localDay(cutAt, zone) + 1, one.workdays, (day) => isPickupDay(pickups, day))
  return { kind: 'not handed over', sinceAt: lastInstantOf(next, zone) }
}

function transit(one: Case): Missed | null {
  const dispatchedAt = one.latestAt('dispatched')
  const { plant, laboratory } = one.sample.kit
  const days = one.programme.pace.transitNinetyFive({ plant, laboratory, service: one.service() })
  if (dispatchedAt === null || days === null) return null
  const { openDays, programme } = one
  const leftDay = departureDay(
    pickupsOf(programme.register, plant, one.service()),
    dispatchedAt,
    programme.register.zoneOfPlace(plant) as string,
  )
  const day = openDayAfter(leftDay, days, openDays)
  return { kind: 'under way too long', sinceAt: lastInstantOf(day, openDays.zone) }
}

function receipt(one: Case): Missed {
  return {
    kind: 'delivered but not received',
    sinceAt: one.laboratoryBy(one.latestAt('delivered') as number, 1),
  }
}

function loading(one: Case): Missed | null {
  const receivedAt = one.latestAt('received') ?? one.latestAt('conditioned')
  const { register, pace } = one.programme
  const days =
    register.duties.get(one.owed?.duty ?? '')?.loadDays ?? pace.loadNinetyFive(one.sample.kit.laboratory)
  if (receivedAt === null || days === null) return null
  return { kind: 'not loaded in time', sinceAt: one.laboratoryBy(receivedAt, days) }
}

function report(one: Case): Missed | null {
  const loadedAt = one.latestAt('loaded')
  const planned = one.act('report')
  const days = one.programme.pace.reportNinetyFive(one.sample.kit.laboratory)
  const usual = loadedAt === null || days === null ? null : one.laboratoryBy(loadedAt, days)
  const sinceAt = planned?.dueAt ?? usual
  return sinceAt === null ? null : { kind: 'report late', sinceAt }
}

/** The copy of the form is due with the sample's way out: by the end of the plant's next workday. */
function formCopy(one: Case): Missed | null {
  const leftAt = one.latestAt('dispatched') ?? one.latestAt('received')
  if (leftAt === null || !owesFormCopy(one.sample, one.programme.now)) return null
  const { zone } = one.workdays
  const next = firstFitting(localDay(leftAt, zone) + 1, one.workdays, () => true)
  return { kind: 'form copy missing', sinceAt: lastInstantOf(next, zone) }
}

/** Something missed on a sample; its days are told in the zone of whoever has to act. */
function overdueOn(
  sample: Sample,
  owed: Owed | null,
  { more, ...missed }: Missed,
  { register, office }: Programme,
): Overdue {
  const { code, plant, laboratory } = sample.kit
  const deviation = more?.deviation ?? null
  const actor = findActor(missed.kind, sample.kit)
  return {
    ...missed,
    actor,
    zone: actor.by === 'programme' ? office.zone : (register.zoneOfPlace(actor.code) as string),
    plant,
    laboratory,
    product: sample.product,
    sample: code,
    duty: owed?.duty ?? null,
    number: owed?.number ?? null,
    reason: more?.reason ?? null,
    deviation,
    subject: [missed.kind, code, ...(deviation === null ? [] : [deviation])].join('/'),
  }
}

/**
 * The samples that have to be cut again and for which nothing was issued: no kit replaces them, by the register or by
 * an event. It is asked no more once a sample of the same product that was issued afterwards is reported and holds.
 */
function recollectionsOverdue(
  samples: readonly Sample[],
  { now, register }: Programme,
): { sample: Sample; missed: Missed }[] {
  const cancelledAt = new Map(samples.filter(isCancelled).map(({ kit }) => [kit.code, kit.plant]))
  const replaced = new Set(
    samples.flatMap((one) => (one.kit.replaces === null || isCancelled(one) ? [] : [one.kit.replaces])),
  )
  const lastGood = new Map<string, number>()
  for (const sample of samples) {
    const { kit, history } = sample
    const product = register.productTestedAt(kit.plant, sample.product)?.code
    if (product === undefined || !isOwed(kit.purpose) || !history.milestones.has('reported')) continue
    if (failureOf(sample, now) !== null) continue
    lastGood.set(product, Math.max(kit.issuedAt, lastGood.get(product) ?? Number.NEGATIVE_INFINITY))
  }
  return samples.flatMap((sample) => {
    const { kit, history } = sample
    if (!isOwed(kit.purpose) || replaced.has(kit.code)) return []
    // Whatever kit an event names: of another plant's it must not tell whether it is there.
    if (history.replacedBy !== null && cancelledAt.get(history.replacedBy) !== kit.plant) return []
    const failure = failureOf(sample, now)
    if (failure === null || failure.at > now) return []
    // A product of another maker counts as none, as above.
    const product = register.productTestedAt(kit.plant, sample.product)?.code ?? ''
    if ((lastGood.get(product) ?? Number.NEGATIVE_INFINITY) > failure.at) return []
    const missed: Missed = {
      kind: 'lapsed with no re-collection',
      sinceAt: failure.at,
      more: { reason: failure.reason },
    }
    return [{ sample, missed }]
  })
}
