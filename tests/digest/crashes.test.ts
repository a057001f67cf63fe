import { beforeAll, describe, expect, test } from 'vitest'
import { STEPS, type Step } from '@/lib/digest/delivery/sendQueuedMail'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { drawUsual } from '@/tests/setup/drawUsual'
import { type MailServer, startMailServer } from './mailServer'
import { ADMINISTRATOR, addPerson, deleteMails, readMailStates, shortenRetries } from './programme'
import { startSender } from './startSender'

const PEOPLE = 4
let database: TestDatabase
let office: MailServer
beforeAll(async () => {
  database = await makeTestDatabase()
  await shortenRetries(database)
  office = await startMailServer()
  for (let index = 0; index < PEOPLE; index++)
    await addPerson(database, `person${index}@test.invalid`, [ADMINISTRATOR])
})

const sender = (...step: [] | [Step, number]) => startSender(database.url, office.url, ...step)

async function startAgain() {
  await deleteMails(database)
  office.taken.splice(0)
}

async function arrivals() {
  const mails = await office.read()
  return mails.map(({ to }) => [to].flat()[0]?.value[0]?.address).sort()
}

const everyone = Array.from({ length: PEOPLE }, (_, index) => `person${index}@test.invalid`)

/** alertCrashes.test.ts dies at the step that is left out, too. */
const KILLED_AT = drawUsual(
  STEPS.filter((step) => step !== 'marked'),
  2,
)

describe('a sender that is killed', () => {
  test.each(KILLED_AT)(
    'at "%s", reached the second time, leaves one mail for each, after others have run',
    async (step) => {
      await startAgain()
      expect(await sender(step, 2)).toBe('SIGKILL')
      expect(await Promise.all([sender(), sender()])).toEqual([0, 0])
      expect(await arrivals()).toEqual(everyone)
      const states = (await readMailStates(database)).map(({ state }) => state)
      const doubtful = states.filter((state) => state === 'uncertain').length
      expect(states.filter((state) => state === 'sent')).toHaveLength(PEOPLE - doubtful)
      // Between the server's reply and our commit nobody can know: the mail in hand arrived, and is in doubt.
      if (step === 'answered' || step === 'noted') expect(doubtful).toBeGreaterThan(0)
      else expect(doubtful).toBe(0)
    },
    120_000,
  )

  test('after it committed the last line and before it sent it, sends none twice and leaves one in doubt', async () => {
    await startAgain()
    expect(await sender('marked', 1)).toBe('SIGKILL')
    expect(await sender()).toBe(0)
    expect(await sender()).toBe(0)
    const found = await readMailStates(database)
    const doubtful = found.filter(({ state }) => state === 'uncertain').map(({ email }) => email)
    expect(doubtful.length).toBeGreaterThan(0)
    expect(await arrivals()).toEqual(everyone.filter((email) => !doubtful.includes(email)))
    const audited = await database.owner.query(
      `select after ->> 'fate' as fate from audit_entry where what = 'sent the weekly mail' and outcome = 'refused'`,
    )
    expect(audited.rows).toContainEqual({ fate: 'uncertain' })
  })
})

test('five concurrent senders send one mail to each person', async () => {
  await startAgain()
  expect(await Promise.all([1, 2, 3, 4, 5].map(() => sender()))).toEqual([0, 0, 0, 0, 0])
  expect(await arrivals()).toEqual(everyone)
}, 120_000)
