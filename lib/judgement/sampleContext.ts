import { findPickups } from '@/lib/custody/findPickups'
import type { Sample } from '@/lib/custody/sample'
import { addOpenDays, findOpenDay } from '@/lib/hold/calendar'
import { findEarliestStop } from '@/lib/hold/earliestStop'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { findLastOpenInstant, toInstant } from '@/lib/hold/openHours'
import { findDepartureDay, isPickupDay } from '@/lib/hold/pickup'
import {
  canBind,
  computeStandingTimes,
  findBindingClock,
  getOpenStanding,
  type Standing,
  type StandingTimes,
} from '@/lib/hold/standing'
import { getDayEnd, getDayStart, getWeekday, toLocalDay } from '@/lib/hold/zone'
import type { ActKind } from '@/lib/schedule/act'
import type { OwedTest } from '@/lib/schedule/owedTests'
import { findFormFaultAt, findPostedDay, hasReached } from '@/lib/schedule/progress'
import { findFirstFittingDay } from '@/lib/schedule/workBack'
import { findSooner } from './nextAct'
import type { ProgrammeIndex, SampleScore } from './programmeIndex'

/** A sample among the others of its programme: the test it stands for, and the working days of those who act on it. Instants in ms UTC. */
export class SampleContext {
  readonly owed: OwedTest | null
  readonly #score: SampleScore | undefined
  constructor(
    readonly sample: Sample,
    readonly index: ProgrammeIndex,
  ) {
    this.owed = index.findOwedTest(sample)
    this.#score = index.scores.get(sample.kit.code)
  }

  get now() {
    return this.index.programme.now
  }
  get register() {
    return this.index.programme.register
  }
  get plantZone() {
    return this.register.getZone(this.sample.kit.plant) as string
  }
  get office() {
    return this.index.programme.office
  }
  get pace() {
    return this.index.programme.pace
  }
  get workdays() {
    return this.register.getWorkdays(this.sample.kit.plant)
  }
  get laboratory() {
    return this.register.getCalendar(this.sample.kit.laboratory)
  }
  /** Whether it is a spare kit: nobody has said what to cut with it, and it replaces nothing. */
  get isSpare(): boolean {
    return this.sample.product === null && this.index.dutySamples.findReplaced(this.sample) === null
  }
  get plant() {
    return { by: 'plant', code: this.sample.kit.plant } as const
  }
  get desk() {
    return { by: 'laboratory', code: this.sample.kit.laboratory } as const
  }

  hasReached(milestone: Milestone): boolean {
    return hasReached(this.sample, milestone)
  }

  has(milestone: Milestone): boolean {
    return this.sample.history.milestones.has(milestone)
  }

  /** The latest reading: an act is due only once it could surely have been done. */
  findLatestAt(milestone: Milestone): number | null {
    return this.sample.history.milestones.get(milestone)?.latestAt ?? null
  }

  getStanding(): Standing {
    const { settled, standingTimes } = this.sample
    const times: StandingTimes = { ...standingTimes, ...this.#score?.times }
    return settled ?? getOpenStanding(times, this.now)
  }

  /** Whether only an opening out of hours could save it. */
  get needsOpening(): boolean {
    return this.#score?.needsOpening ?? false
  }

  /** The milestone that its governing limit waits for. */
  findAwaited(): Milestone | null {
    return findBindingClock(this.sample.clocks, this.now)?.limit.to ?? null
  }

  /** The first due of the running clocks that stop at one of these milestones; null if none runs. */
  findDueAt(...milestones: Milestone[]): number | null {
    const dues = this.sample.clocks
      .filter((clock) => canBind(clock) && milestones.includes(clock.limit.to))
      .map(({ dueAt }) => dueAt as number)
    return dues.length === 0 ? null : Math.min(...dues)
  }

  /** The due of the limits up to loading, null without one. */
  #findLoadingLimitAt(): number | null {
    return computeStandingTimes(
      this.sample.clocks.filter(({ limit }) => MILESTONE_ORDER[limit.to] <= MILESTONE_ORDER.loaded),
    ).dueAt
  }

  /** The last instant in receiving hours at which loading is of use; null without a limit up to loading. */
  findLastLoadingAt(): number | null {
    const dueAt = this.#findLoadingLimitAt()
    if (dueAt === null) return null
    const hours = this.register.getOpenMinutes(this.sample.kit.laboratory)
    const lastAt = findLastOpenInstant(dueAt, hours, this.laboratory)
    // A laboratory that is closed for a year can only be asked to open.
    return Number.isFinite(lastAt) ? lastAt : dueAt
  }

  /** By when it has to be loaded: in receiving hours, and once they are over, by the limit itself, which takes an opening out of hours. */
  findLoadByAt(): number | null {
    const lastAt = this.findLastLoadingAt()
    return lastAt !== null && lastAt < this.now ? this.#findLoadingLimitAt() : lastAt
  }

  /**
   * By when a ruling on what was found at `foundAt` is of use: before the next thing that waits for it; by the office's next working
   * day after that where nothing does.
   */
  findRulingDueAt(foundAt: number): number {
    const officeDueAt = this.#computeOfficeDueAt(Math.max(foundAt, this.findLatestAt('reported') ?? foundAt))
    if (this.hasReached('loaded')) return officeDueAt
    const handOverAt = this.hasReached('dispatched')
      ? null
      : findSooner(this.findHandOverDueAt(), this.findHandOverByAt())
    const waitingAt = handOverAt ?? this.findLastLoadingAt()
    if (waitingAt !== null && waitingAt >= foundAt) return waitingAt
    // It was found when that had passed.
    const limitAt = this.#findLoadingLimitAt()
    return limitAt !== null && limitAt >= foundAt ? Math.min(limitAt, officeDueAt) : officeDueAt
  }

  /** Before this instant a stop at the milestone would be early; null if it can be now. */
  findEarliestStopAt(milestone: Milestone): number | null {
    const at = findEarliestStop(this.sample.clocks, milestone, this.now)
    return at !== null && at > this.now ? at : null
  }

  /** The end of the office's next working day after that of `at`. */
  #computeOfficeDueAt(at: number): number {
    const { office } = this
    return getDayEnd(addOpenDays(toLocalDay(at, office.zone), 1, office), office.zone)
  }

  /** Whether it was cut on this day at the plant: its line may still run. Common practice, no source. */
  isCutToday(): boolean {
    const cutAt = this.findLatestAt('collected')
    return cutAt !== null && toLocalDay(cutAt, this.plantZone) === toLocalDay(this.now, this.plantZone)
  }

  /** Whether the programme's office works at a time before `at` (null: there is time enough). */
  canRuleBefore(at: number | null): boolean {
    if (at === null) return true
    const { office, now } = this
    const day = findOpenDay(toLocalDay(now, office.zone), 1, office)
    return Math.max(now, getDayStart(day, office.zone)) < at
  }

  /** When an act of its test is due; null if no test is owed. */
  findPlannedAt(act: ActKind): number | null {
    return this.owed?.acts.find((one) => one.act === act)?.dueAt ?? null
  }

  computePostingDueAt(): number {
    const { office, sample } = this
    const issued = toLocalDay(sample.kit.issuedAt, office.zone)
    // A kit issued after its date is posted on the office's next working day.
    const soonest = getDayEnd(addOpenDays(issued, 1, office), office.zone)
    return Math.max(this.findPlannedAt('post kit') ?? soonest, soonest)
  }

  findCutDueAt(): number | null {
    const planned = this.findPlannedAt('cut')
    const duty = this.register.duties.get(this.owed?.duty ?? '')
    if (planned === null || !duty) return null
    const { zone } = this.workdays
    // A kit issued or posted late is cut on the first workday on which it can be there.
    const there = findPostedDay(this.sample, zone) + duty.kitDays
    const soonest = getDayEnd(
      findFirstFittingDay(there, this.workdays, () => true),
      zone,
    )
    return Math.max(planned, soonest)
  }

  /** The first pickup on a day after that of the cut; the end of that day where its hour is not known. */
  findHandOverDueAt(): number | null {
    const cutAt = this.findLatestAt('collected') ?? this.findLatestAt('sealed')
    if (cutAt === null) return null
    const { zone } = this.workdays
    const pickups = this.#findPickups()
    const next = findFirstFittingDay(toLocalDay(cutAt, zone) + 1, this.workdays, (day) =>
      isPickupDay(pickups, day),
    )
    const minute = pickups?.[getWeekday(next)] ?? null
    return minute === null ? getDayEnd(next, zone) : toInstant(next, minute, zone)
  }

  /**
   * By when the limits up to its hand-over want it handed over: at the last pickup before they end, and once that is over, by
   * the limit itself, for which the sample has to be brought to the carrier. Null without such a limit.
   */
  findHandOverByAt(): number | null {
    const dueAt = this.findDueAt('dispatched')
    const pickups = this.#findPickups()
    if (dueAt === null || pickups === null) return dueAt
    const hours = pickups.map((minute) => (minute === null ? [] : [[minute, minute] as const]))
    const lastAt = findLastOpenInstant(dueAt + 1, hours, this.workdays)
    const soonestAt = Math.max(this.now, this.findLatestAt('collected') ?? this.now)
    return lastAt < soonestAt ? dueAt : lastAt
  }

  #findPickups() {
    const { plant, service } = this.sample.kit
    return findPickups(this.register, plant, service)
  }

  /** When 19 of 20 like it have arrived; null while the pace of its lane is unknown. */
  findArrivalDueAt(): number | null {
    const dispatchedAt = this.findLatestAt('dispatched')
    const { plant, laboratory } = this.sample.kit
    const service = this.#findService()
    const days = this.pace.p95TransitDays({ plant, laboratory, service })
    if (dispatchedAt === null || days === null) return null
    const pickups = findPickups(this.register, plant, service)
    const leftDay = findDepartureDay(pickups, dispatchedAt, this.plantZone)
    return getDayEnd(addOpenDays(leftDay, days, this.laboratory), this.laboratory.zone)
  }

  computeReceiptDueAt(): number {
    return this.#computeLaboratoryDueAt(this.findLatestAt('delivered') as number, 1)
  }

  findLoadingDueAt(): number | null {
    const receivedAt = this.findLatestAt('received') ?? this.findLatestAt('conditioned')
    const days =
      this.register.duties.get(this.owed?.duty ?? '')?.loadDays ??
      this.pace.p95LoadDays(this.sample.kit.laboratory)
    return receivedAt === null || days === null ? null : this.#computeLaboratoryDueAt(receivedAt, days)
  }

  findReportDueAt(): number | null {
    const loadedAt = this.findLatestAt('loaded')
    const days = this.pace.p95ReportDays(this.sample.kit.laboratory)
    const usual = loadedAt === null || days === null ? null : this.#computeLaboratoryDueAt(loadedAt, days)
    return this.findPlannedAt('report') ?? usual
  }

  /**
   * The copy of the form is due by the end of the plant's next workday after the sample left, or after its form was found missing;
   * null if it has not left.
   */
  findFormCopyDueAt(): number | null {
    const leftAt = this.findLatestAt('dispatched') ?? this.findLatestAt('received')
    if (leftAt === null) return null
    const { sample } = this
    // Before a copy has come, it was due already.
    const foundAt = sample.formCopyAt === null ? null : findFormFaultAt(sample)
    const missingAt = Math.max(leftAt, foundAt ?? leftAt)
    const { zone } = this.workdays
    const next = findFirstFittingDay(toLocalDay(missingAt, zone) + 1, this.workdays, () => true)
    return getDayEnd(next, zone)
  }

  #findService(): string | null {
    const { events } = this.sample.history.milestones.get('dispatched') ?? { events: [] }
    return events.find(({ service }) => service !== null)?.service ?? this.sample.kit.service
  }

  /** The end of the laboratory's `amount`-th open day after that of `at`. */
  #computeLaboratoryDueAt(at: number, amount: number): number {
    const { zone } = this.laboratory
    return getDayEnd(addOpenDays(toLocalDay(at, zone), amount, this.laboratory), zone)
  }
}
