import { beforeAll, expect, test } from 'vitest'
import { chanceFrom } from '@/tests/reference/random'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { getRunSeed } from '@/tests/setup/seed'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { listEnded, prepareMailRounds, runMailRound } from './mailRound'

const ROUNDS = chooseUsualOrLong({ usual: 1, long: 25 })

let database: TestDatabase
let emails: Map<string, string>
beforeAll(async () => {
  database = await makeTestDatabase()
  emails = await prepareMailRounds(database)
})

test(
  'two senders, killed and cut off at random, send nobody two mails, and only mails that may have gone are in doubt',
  async () => {
    const chance = chanceFrom(getRunSeed())
    for (let number = 0; number < ROUNDS; number++) {
      const round = await runMailRound(database, emails, chance)
      expect(round.done).toMatchObject({ kills: 3, losses: 2 })
      expect(round.done.cuts).toBeGreaterThan(0)
      expect(round.states.map(({ email }) => email)).toEqual([...emails.values()])
      for (const { email, state } of round.states) {
        const ended = listEnded(round, email)
        const about = { round: number, email, state, ended: ended.length }
        expect(about).toMatchObject({ ended: expect.toSatisfy((count: number) => count <= 1) })
        if (state === 'sent') expect(ended).toMatchObject([{ to: email, isAnswered: true }])
        else
          expect({
            ...about,
            mayHaveGone: ended.length === 1 || round.diedInHandover.has(email),
          }).toMatchObject({ state: 'uncertain', mayHaveGone: true })
      }
    }
  },
  60_000 * (ROUNDS + 1),
)
