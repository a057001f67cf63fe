import { type CustodyEvent, eventKey } from '@/lib/custody/event'
import { MAX_CORRECTIONS, MAX_REPORTS } from '@/lib/custody/reportLimits'
import { LIMITS } from '../formats/limits'
import { type Problem, problem } from '../formats/problem'
import type { IntakeItem } from '../formats/readEvents'

/** The result of one item of a body. */
export type AnswerRow = {
  item: number
  line?: number
} /** `note` tells the sender what was ignored. */ & (
  | { result: 'accepted' | 'already known' | 'unplaced'; event: string; note?: string }
  /** The first hundred refusals have a problem. */
  | { result: 'refused'; problem?: Problem }
)

/** A count of each result. */
export interface AnswerCounts {
  accepted: number
  alreadyKnown: number
  unplaced: number
  refused: number
}

/** The answer to a body of events: the counts, and a row for each item in order. */
export interface Answer extends AnswerCounts {
  items: AnswerRow[]
}

/** What became of an item. `acceptance` is null for items that could not be read. */
export interface ItemResult {
  item: IntakeItem
  acceptance: 'accepted' | 'already known' | 'unplaced' | Refusal | null
}

type Refusal = 'conflict' | 'too many' | 'not allowed' | 'not allowed to correct'

/** `fullRefusals`: how many refused items get their problem. */
export function buildAnswer(
  results: readonly ItemResult[],
  fullRefusals: number = LIMITS.fullRefusals,
): Answer {
  return { ...countResults(results), items: [...buildRows(results, fullRefusals)] }
}

export function countResults(results: readonly ItemResult[]): AnswerCounts {
  const counts = { accepted: 0, alreadyKnown: 0, unplaced: 0, refused: 0 }
  for (const { acceptance } of results) {
    if (acceptance === 'accepted') counts.accepted += 1
    else if (acceptance === 'unplaced') counts.unplaced += 1
    else if (acceptance === 'already known') counts.alreadyKnown += 1
    else counts.refused += 1
  }
  return counts
}

/** Rows in one piece of an encoded answer. */
const PIECE = 500

/** Encodes an answer as JSON in pieces, so that a long one is neither built nor sent at once. */
export function* encodeAnswer(results: readonly ItemResult[]): Generator<Uint8Array> {
  const encoder = new TextEncoder()
  yield encoder.encode(`${JSON.stringify(countResults(results)).slice(0, -1)},"items":[`)
  let rows: string[] = []
  let isFirst = true
  const encodeRows = () => {
    const text = rows.join(',')
    rows = []
    const piece = encoder.encode(isFirst ? text : `,${text}`)
    isFirst = false
    return piece
  }
  for (const row of buildRows(results, LIMITS.fullRefusals))
    if (rows.push(JSON.stringify(row)) === PIECE) yield encodeRows()
  if (rows.length > 0) yield encodeRows()
  yield encoder.encode(']}')
}

function* buildRows(results: readonly ItemResult[], fullRefusals: number): Generator<AnswerRow> {
  let refused = 0
  for (const { item, acceptance } of results) {
    const place = item.line === null ? { item: item.item } : { item: item.item, line: item.line }
    if (item.event === null || acceptance === null || isRefusal(acceptance)) {
      refused += 1
      const describe = () =>
        item.event === null ? item.problem : REFUSALS[acceptance as Refusal](item.event, place)
      const refusal = refused > fullRefusals ? null : describe()
      yield { ...place, result: 'refused', ...(refusal === null ? {} : { problem: refusal }) }
    } else {
      const note = item.note === undefined ? {} : { note: item.note }
      yield { ...place, result: acceptance, event: eventKey(item.event), ...note }
    }
  }
}

/** The problem of an item that is refused for what is known already. */
const REFUSALS: Record<Refusal, (event: CustodyEvent, place: object) => Problem> = {
  conflict: describeConflict,
  'too many': describeTooMany,
  'not allowed': ({ kind }, place) => {
    const detail = `You may not report “${kind}” of this sample.`
    const right = 'It is for those at the other end to report, or for the programme.'
    return problem('not-yours', 403, 'Not allowed', detail, {
      ...place,
      errors: [{ pointer: '/kind', detail, right }],
    })
  },
  'not allowed to correct': ({ corrects }, place) => {
    const detail = `You may not take ${corrects} out: it is of a kind that you may not report of its sample.`
    const right = 'Those who reported it can correct it, or an administrator.'
    return problem('not-yours', 403, 'Not allowed', detail, {
      ...place,
      errors: [{ pointer: '/corrects', detail, right }],
    })
  },
}

function isRefusal(acceptance: NonNullable<ItemResult['acceptance']>): acceptance is Refusal {
  return Object.hasOwn(REFUSALS, acceptance)
}

function describeTooMany(_event: CustodyEvent, place: object): Problem {
  const detail = `You have reported ${MAX_REPORTS} events of its sample or consignment, or ${MAX_CORRECTIONS} that correct the same event. No more are taken.`
  const right = 'Leave out reports that repeat what is known.'
  return problem('too-many-reports', 422, 'Too many reports of one sample', detail, {
    ...place,
    errors: [{ pointer: '', detail, right }],
  })
}

function describeConflict(event: CustodyEvent, place: object): Problem {
  const detail = `${eventKey(event)} was accepted before with other content, which counts.`
  const right = 'To correct it, send a new event with an id of its own that names this one in `corrects`.'
  return problem('event-conflict', 409, 'Conflicts with an accepted event', detail, {
    ...place,
    errors: [{ pointer: '/id', detail, right }],
  })
}
