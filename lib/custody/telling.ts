import { type Clock, getClockState } from '@/lib/hold/clock'
import { MILESTONE_ORDER, MILESTONES } from '@/lib/hold/milestone'
import { type Message, message } from '@/lib/messages/message'
import { eventKey, type ReadEvent } from './event'
import { joinFindingKey } from './findingKey'
import type { Grade } from './grade'
import { compareByTime, type History } from './history'
import { isCounted, type PlacedEvent } from './placing'
import { readTextFact } from './textFact'

/** One telling of something wrong with a sample. The same can be told more than once. */
export interface Telling {
  /** The key of the event that tells it, or that or a limit's name with `#` and what was found. */
  key: string
  /** Equal for tellings of the same. */
  same: string
  grade: Grade
  /** Without a full stop. */
  what: Message
  /** Earliest reading, ms UTC. */
  at: number
}

/** What was found wrong and reported as such. */
export function listDeviations(placed: readonly PlacedEvent[]): Telling[] {
  return placed
    .filter((one) => one.event.kind === 'deviation' && isCounted(one))
    .map(({ event }) => {
      const key = eventKey(event)
      return { key, same: key, grade: 'hold', what: describeDeviation(event), at: event.earliestAt }
    })
}

function describeDeviation(event: ReadEvent): Message {
  const told = readTextFact(event, 'what')
  const what = told === null ? message('finding.unspecified') : message('finding.reported', { what: told })
  const [seal, openFor] = [readTextFact(event, 'sealNumber'), readTextFact(event, 'openFor')]
  if (seal !== null && openFor !== null) return message('finding.resealedAfter', { what, seal, openFor })
  if (seal !== null) return message('finding.resealed', { what, seal })
  return openFor === null ? what : message('finding.wasOpen', { what, openFor })
}

/**
 * The clocks that prove nothing: stopped too early or without a start before the stop, or neither started nor stopped when the
 * report was issued.
 */
export function listClockFindings(clocks: readonly Clock[], { milestones }: History): Telling[] {
  return clocks.flatMap((clock) => {
    const { name, to } = clock.limit
    const stop = milestones.get(to) ?? milestones.get('reported') ?? findLater(clock, milestones)
    if (!stop) return []
    // A stopped clock's state no longer depends on the time.
    const state = clock.stoppedAt === null ? 'unproven' : getClockState(clock, stop.latestAt)
    if (state !== 'early' && state !== 'unproven') return []
    const key = joinFindingKey(name, state)
    return [
      {
        key,
        same: key,
        grade: 'hold' as const,
        what: state === 'early' ? message('finding.early', { limit: name }) : describeUnproven(clock),
        // A clock whose stop is missing is in doubt once its due has passed.
        at:
          clock.stoppedAt === null && clock.dueAt !== null
            ? Math.max(stop.earliestAt, clock.dueAt + 1)
            : stop.earliestAt,
      },
    ]
  })
}

/** The first milestone that was reported though the stop of a started clock before it was not; undefined if there is none. */
function findLater({ limit, startedAt, isNotReported }: Clock, milestones: History['milestones']) {
  if (startedAt === null || !isNotReported) return undefined
  const later = MILESTONES.find(
    (one) => MILESTONE_ORDER[one] > MILESTONE_ORDER[limit.to] && milestones.has(one),
  )
  return later && milestones.get(later)
}

function describeUnproven({ limit: { name }, startedAt, stoppedAt }: Clock): Message {
  if (startedAt === null)
    return message(stoppedAt === null ? 'finding.unproven.neither' : 'finding.unproven.noStart', {
      limit: name,
    })
  return message(stoppedAt === null ? 'finding.unproven.noStop' : 'finding.unproven.stopFirst', {
    limit: name,
  })
}

/** A sample that was given up on its way and arrived: of each kind of report, one finding. */
export function listArrivals({ outweighed, milestones }: History): Telling[] {
  const receivedAt = milestones.get('received')?.earliestAt ?? Number.NEGATIVE_INFINITY
  return outweighed.map((event) => ({
    key: joinFindingKey(eventKey(event), 'arrived'),
    same: `#arrived ${event.kind}`,
    grade: 'hold',
    what: message(event.kind === 'lost' ? 'finding.arrived.lost' : 'finding.arrived.returned'),
    at: Math.max(event.earliestAt, receivedAt),
  }))
}

/**
 * A rejection that was taken back: the sample had proved nothing, and now it is to prove something again. It came about with the
 * event that took the rejection back, if that is of this sample.
 */
export function listRejectionsTakenBack(placed: readonly PlacedEvent[]): Telling[] {
  const rejections = placed.filter(({ event, isAhead }) => event.kind === 'rejected' && !isAhead)
  if (rejections.length === 0 || rejections.some(isCounted)) return []
  return rejections.map(({ event, correctedBy }) => {
    const correctors = placed
      .filter((one) => !one.isAhead && correctedBy.includes(eventKey(one.event)))
      .map((one) => one.event)
      .sort(compareByTime)
    return {
      key: joinFindingKey(eventKey(event), 'taken back'),
      same: '#taken back',
      grade: 'hold',
      what: message('finding.takenBack'),
      at: Math.max(event.earliestAt, correctors[0]?.earliestAt ?? event.earliestAt),
    }
  })
}
