import { describe, expect, test } from 'vitest'
import { buildAnswer } from '@/lib/intake/answers/answer'
import { readBody, wire } from '../wire'

const items = readBody(
  ['a', 'b', 'c', 'd']
    .map((id) => JSON.stringify(wire({ id })))
    .join('\n')
    .concat('\n{"source":"desk"}'),
  'ndjson',
)
const outcomes = ['accepted', 'already known', 'unplaced', 'conflict', null] as const
const answer = buildAnswer(items.map((item, index) => ({ item, acceptance: outcomes[index] ?? null })))

describe('the answer to a body of events', () => {
  test('counts each result; a conflict is a refusal', () => {
    expect(answer).toMatchObject({ accepted: 1, alreadyKnown: 1, unplaced: 1, refused: 2 })
  })

  test('has a row for each item in order, with its line and result', () => {
    expect(answer.items.map(({ item, line, result }) => [item, line, result])).toEqual([
      [1, 1, 'accepted'],
      [2, 2, 'already known'],
      [3, 3, 'unplaced'],
      [4, 4, 'refused'],
      [5, 5, 'refused'],
    ])
    expect(answer.items[0]).toMatchObject({ event: 'desk/a' })
  })

  test('explains a conflict: the first counts, and what to send instead (RFC 9457)', () => {
    expect(answer.items[3]).toMatchObject({
      problem: {
        status: 409,
        item: 4,
        line: 4,
        detail: expect.stringContaining('desk/d'),
        errors: [{ pointer: '/id', right: expect.stringContaining('corrects') }],
      },
    })
  })
})
