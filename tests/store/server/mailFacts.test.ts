import { beforeAll, expect, test } from 'vitest'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { readMailFacts } from '@/lib/store/server/mailFacts'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { signInAs } from '@/tests/setup/signIn'

const NOW = Date.UTC(2026, 10, 30, 12)
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

test('of no mail nothing is claimed', async () => {
  expect(await readMailFacts(database.authPool, NOW)).toMatchObject({
    polledAt: null,
    waitingSince: null,
    lastSentAt: null,
    triedInVain: 0,
    inDoubt: 0,
    counts: { waiting: 0, sent: 0, uncertain: 0 },
  })
})

test('mails are counted by their fate, and the queue by its last look', async () => {
  const { personId } = await signInAs(database, { isReader: true })
  const at = (ms: number) => new Date(NOW - ms)
  const polled = [at(2 * MINUTE), at(HOUR)]
  for (const one of polled)
    await database.owner.query(
      `insert into queue.job (name, state, completed_on) values ('look', 'completed', $1)`,
      [one],
    )
  const mails: [string, Date, number, Date | null][] = [
    ['waiting', at(3 * HOUR), 0, null],
    ['waiting', at(5 * HOUR), 2, null],
    ['sent', at(2 * DAY), 1, at(DAY)],
    ['uncertain', at(2 * DAY), 1, at(DAY)],
    ['uncertain', at(30 * DAY), 1, at(29 * DAY)],
    ['given up', at(2 * DAY), 9, at(DAY)],
  ]
  for (const [index, [state, dueAt, tries, endedAt]] of mails.entries())
    await database.owner.query(
      `insert into digest_mail (person_id, occasion, due_at, state, tries, ended_at) values ($1, $2, $3, $4, $5, $6)`,
      [personId, `2026-W${10 + index}`, dueAt, state, tries, endedAt],
    )
  expect(await readMailFacts(database.authPool, NOW)).toMatchObject({
    polledAt: NOW - 2 * MINUTE,
    waitingSince: NOW - 5 * HOUR,
    triedInVain: 1,
    inDoubt: 1,
    givenUp: 1,
    lastSentAt: NOW - DAY,
    counts: { waiting: 2, sent: 1, uncertain: 2, 'given up': 1, refused: 0 },
  })
})
