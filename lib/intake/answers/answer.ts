import { type CustodyEvent, eventKey } from '@/lib/custody/event'
import { type Problem, problem } from '../formats/problem'
import type { IntakeItem } from '../formats/readEvents'

/** The result of one item of a body. */
export type AnswerRow = {
  item: number
  line?: number
} /** `note` tells the sender what was ignored. */ & (
  | { result: 'accepted' | 'already known' | 'unplaced'; event: string; note?: string }
  | { result: 'refused'; problem: Problem }
)

/** The answer to a body of events: a count of each result, and a row for each item in order. */
export interface Answer {
  accepted: number
  alreadyKnown: number
  unplaced: number
  refused: number
  items: AnswerRow[]
}

/** `acceptance` is null for items that could not be read. */
export function buildAnswer(
  results: readonly {
    item: IntakeItem
    acceptance: 'accepted' | 'already known' | 'unplaced' | 'conflict' | null
  }[],
): Answer {
  const answer: Answer = { accepted: 0, alreadyKnown: 0, unplaced: 0, refused: 0, items: [] }
  for (const { item, acceptance } of results) {
    const place = item.line === null ? { item: item.item } : { item: item.item, line: item.line }
    if (item.event === null || acceptance === null || acceptance === 'conflict') {
      const refusal = item.event === null ? item.problem : conflictProblem(item.event, place)
      answer.refused += 1
      answer.items.push({ ...place, result: 'refused', problem: refusal })
      continue
    }
    if (acceptance === 'accepted') answer.accepted += 1
    else if (acceptance === 'unplaced') answer.unplaced += 1
    else answer.alreadyKnown += 1
    const note = item.note === undefined ? {} : { note: item.note }
    answer.items.push({ ...place, result: acceptance, event: eventKey(item.event), ...note })
  }
  return answer
}

function conflictProblem(event: CustodyEvent, place: object): Problem {
  const detail = `${eventKey(event)} was accepted before with other content, which counts.`
  const right = 'To correct it, send a new event with an id of its own that names this one in `corrects`.'
  return problem('event-conflict', 409, 'Conflicts with an accepted event', detail, {
    ...place,
    errors: [{ pointer: '/id', detail, right }],
  })
}
