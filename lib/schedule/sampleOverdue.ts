import { listUnruled } from '@/lib/custody/finding'
import { findPickups } from '@/lib/custody/findPickups'
import { findFailure } from '@/lib/custody/fitness'
import type { Sample } from '@/lib/custody/sample'
import { addOpenDays } from '@/lib/hold/calendar'
import type { Milestone } from '@/lib/hold/milestone'
import { findDepartureDay, isPickupDay } from '@/lib/hold/pickup'
import { getDayEnd, toLocalDay } from '@/lib/hold/zone'
import type { ActKind } from './act'
import { isCancelled, isOwed } from './dutySamples'
import { findActor, type Overdue, type OverdueKind } from './overdueKinds'
import type { OwedTest, Programme } from './owedTests'
import { findPostedDay, hasReached, isPosted, owesFormCopy } from './progress'
import { findFirstFittingDay } from './workBack'

/** A step that was not done, and the last instant (ms UTC) at which it was in time. */
export interface MissedStep {
  kind: OverdueKind
  sinceAt: number
  more?: Partial<Pick<Overdue, 'reason' | 'deviation'>>
}

/** A sample, the test it stands for, and the working days of those who act on it. */
class SampleContext {
  readonly plantZone: string
  constructor(
    readonly sample: Sample,
    readonly owed: OwedTest | null,
    readonly programme: Programme,
  ) {
    this.plantZone = programme.register.getZone(sample.kit.plant) as string
  }

  get workdays() {
    return this.programme.register.getWorkdays(this.sample.kit.plant)
  }
  get openDays() {
    return this.programme.register.getCalendar(this.sample.kit.laboratory)
  }
  findAct(kind: ActKind) {
    return this.owed?.acts.find(({ act }) => act === kind) ?? null
  }
  hasReached(milestone: Milestone): boolean {
    return hasReached(this.sample, milestone)
  }
  /** The latest reading (ms UTC): an act is due only once it could surely have been done. */
  findLatestAt(milestone: Milestone): number | null {
    return this.sample.history.milestones.get(milestone)?.latestAt ?? null
  }
  /** The end of the laboratory's `amount`-th open day after that of `at`. */
  computeLaboratoryDueAt(at: number, amount: number): number {
    const { zone } = this.openDays
    return getDayEnd(addOpenDays(toLocalDay(at, zone), amount, this.openDays), zone)
  }
  findService(): string | null {
    const { events } = this.sample.history.milestones.get('dispatched') ?? { events: [] }
    return events.find(({ service }) => service !== null)?.service ?? this.sample.kit.service
  }
}

/** `findOwedTest` gives the test that a sample stands for, if it is still owed. */
export function findSampleOverdue(
  programme: Programme,
  findOwedTest: (sample: Sample) => OwedTest | null,
): Overdue[] {
  const { register } = programme
  const known = programme.samples.filter(
    ({ kit }) =>
      kit.purpose !== 'retained' &&
      register.plants.has(kit.plant) &&
      register.laboratories.has(kit.laboratory),
  )
  const found = known.flatMap((sample) => {
    const owed = findOwedTest(sample)
    return findMissedSteps(new SampleContext(sample, owed, programme)).map((missed) =>
      toOverdue(sample, owed, missed, programme),
    )
  })
  const lapsed = findOverdueRecollections(known, programme).map(({ sample, missed }) =>
    toOverdue(sample, findOwedTest(sample), missed, programme),
  )
  return [...found, ...lapsed]
}

function findMissedSteps(one: SampleContext): MissedStep[] {
  const { sample, programme } = one
  const { now } = programme
  if (sample.history.ending?.kind === 'cancelled') return []
  const unruled = listUnruled(sample.findings, now).map((deviation) => ({
    kind: 'deviation with no ruling' as const,
    sinceAt: deviation.at,
    more: { deviation: deviation.key },
  }))
  // A sample that lapsed or is gone has no next step: it has to be cut again.
  if (sample.history.ending !== null || sample.history.replacedBy !== null) return unruled
  if (findFailure(sample, now) !== null) return unruled
  const missed = [findNextStep(one), checkFormCopy(one)].filter((step) => step !== null)
  return [...unruled, ...missed.filter(({ sinceAt }) => sinceAt < now)]
}

/** The step that a sample waits for; null while its date is unknown. */
function findNextStep(one: SampleContext): MissedStep | null {
  const { sample, plantZone, programme } = one
  if (one.hasReached('reported')) return null
  if (one.hasReached('loaded')) return checkReport(one)
  if (one.hasReached('received')) return checkLoading(one)
  if (sample.history.milestones.has('delivered')) return checkReceipt(one)
  if (one.hasReached('dispatched')) return checkTransit(one)
  if (one.hasReached('collected')) return checkHandOver(one)
  return isPosted(sample, plantZone, programme.now) ? checkCut(one) : checkPosting(one)
}

function checkPosting({ owed, sample, programme }: SampleContext): MissedStep {
  const { office } = programme
  const planned = owed?.acts.find(({ act }) => act === 'post kit')?.dueAt
  const issued = toLocalDay(sample.kit.issuedAt, office.zone)
  // A kit issued after its date is posted on the office's next working day.
  const soonest = getDayEnd(addOpenDays(issued, 1, office), office.zone)
  return { kind: 'kit not posted', sinceAt: Math.max(planned ?? soonest, soonest) }
}

function checkCut(one: SampleContext): MissedStep | null {
  const planned = one.findAct('cut')
  const duty = one.programme.register.duties.get(one.owed?.duty ?? '')
  if (!planned || !duty) return null
  const { zone } = one.workdays
  // A kit issued or posted late is cut on the first workday on which it can be there.
  const there = findPostedDay(one.sample, zone) + duty.kitDays
  const soonest = getDayEnd(
    findFirstFittingDay(there, one.workdays, () => true),
    zone,
  )
  return { kind: 'not cut', sinceAt: Math.max(planned.dueAt, soonest) }
}

function checkHandOver(one: SampleContext): MissedStep | null {
  const cutAt = one.findLatestAt('collected') ?? one.findLatestAt('sealed')
  if (cutAt === null) return null
  const { kit } = one.sample
  const { register } = one.programme
  const { zone } = one.workdays
  const pickups = findPickups(register, kit.plant, kit.service)
  const next = findFirstFittingDay(toLocalDay(cutAt, zone) + 1, one.workdays, (day) =>
    isPickupDay(pickups, day),
  )
  return { kind: 'not handed over', sinceAt: getDayEnd(next, zone) }
}

function checkTransit(one: SampleContext): MissedStep | null {
  const dispatchedAt = one.findLatestAt('dispatched')
  const { plant, laboratory } = one.sample.kit
  const days = one.programme.pace.p95TransitDays({ plant, laboratory, service: one.findService() })
  if (dispatchedAt === null || days === null) return null
  const { openDays, programme } = one
  const leftDay = findDepartureDay(
    findPickups(programme.register, plant, one.findService()),
    dispatchedAt,
    programme.register.getZone(plant) as string,
  )
  const day = addOpenDays(leftDay, days, openDays)
  return { kind: 'under way too long', sinceAt: getDayEnd(day, openDays.zone) }
}

function checkReceipt(one: SampleContext): MissedStep {
  return {
    kind: 'delivered but not received',
    sinceAt: one.computeLaboratoryDueAt(one.findLatestAt('delivered') as number, 1),
  }
}

function checkLoading(one: SampleContext): MissedStep | null {
  const receivedAt = one.findLatestAt('received') ?? one.findLatestAt('conditioned')
  const { register, pace } = one.programme
  const days =
    register.duties.get(one.owed?.duty ?? '')?.loadDays ?? pace.p95LoadDays(one.sample.kit.laboratory)
  if (receivedAt === null || days === null) return null
  return { kind: 'not loaded in time', sinceAt: one.computeLaboratoryDueAt(receivedAt, days) }
}

function checkReport(one: SampleContext): MissedStep | null {
  const loadedAt = one.findLatestAt('loaded')
  const planned = one.findAct('report')
  const days = one.programme.pace.p95ReportDays(one.sample.kit.laboratory)
  const usual = loadedAt === null || days === null ? null : one.computeLaboratoryDueAt(loadedAt, days)
  const sinceAt = planned?.dueAt ?? usual
  return sinceAt === null ? null : { kind: 'report late', sinceAt }
}

/** The copy of the form is due by the end of the plant's next workday after the sample left. */
function checkFormCopy(one: SampleContext): MissedStep | null {
  const leftAt = one.findLatestAt('dispatched') ?? one.findLatestAt('received')
  if (leftAt === null || !owesFormCopy(one.sample, one.programme.now)) return null
  const { zone } = one.workdays
  const next = findFirstFittingDay(toLocalDay(leftAt, zone) + 1, one.workdays, () => true)
  return { kind: 'form copy missing', sinceAt: getDayEnd(next, zone) }
}

/** `zone` is that of whoever has to act. */
function toOverdue(
  sample: Sample,
  owed: OwedTest | null,
  { more, ...missed }: MissedStep,
  { register, office }: Programme,
): Overdue {
  const { code, plant, laboratory } = sample.kit
  const deviation = more?.deviation ?? null
  const actor = findActor(missed.kind, sample.kit)
  return {
    ...missed,
    actor,
    zone: actor.by === 'programme' ? office.zone : (register.getZone(actor.code) as string),
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
 * Samples that have to be cut again and that no kit replaces, by the register or by an event. They are no longer overdue
 * once a later sample of the same product is reported and valid.
 */
function findOverdueRecollections(
  samples: readonly Sample[],
  { now, register }: Programme,
): { sample: Sample; missed: MissedStep }[] {
  const plantByCancelled = new Map(samples.filter(isCancelled).map(({ kit }) => [kit.code, kit.plant]))
  const replaced = new Set(
    samples.flatMap((one) => (one.kit.replaces === null || isCancelled(one) ? [] : [one.kit.replaces])),
  )
  const lastValidAt = new Map<string, number>()
  for (const sample of samples) {
    const { kit, history } = sample
    const product = register.findTestedProduct(kit.plant, sample.product)?.code
    if (product === undefined || !isOwed(kit.purpose) || !history.milestones.has('reported')) continue
    if (findFailure(sample, now) !== null) continue
    lastValidAt.set(product, Math.max(kit.issuedAt, lastValidAt.get(product) ?? Number.NEGATIVE_INFINITY))
  }
  return samples.flatMap((sample) => {
    const { kit, history } = sample
    if (!isOwed(kit.purpose) || replaced.has(kit.code)) return []
    // An event may name any kit: the result must not reveal whether another plant's kit exists.
    if (history.replacedBy !== null && plantByCancelled.get(history.replacedBy) !== kit.plant) return []
    const failure = findFailure(sample, now)
    if (failure === null || failure.at > now) return []
    // Another maker's product counts as none, as above.
    const product = register.findTestedProduct(kit.plant, sample.product)?.code ?? ''
    if ((lastValidAt.get(product) ?? Number.NEGATIVE_INFINITY) > failure.at) return []
    const missed: MissedStep = {
      kind: 'lapsed with no re-collection',
      sinceAt: failure.at,
      more: { reason: failure.reason },
    }
    return [{ sample, missed }]
  })
}
