import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { ensurePerson } from '@/lib/store/people/people'
import {
  CODE_TRIES,
  consumeLink,
  MAX_REQUESTS,
  type NewSignInRequest,
  requestLink,
  tryCode,
} from '@/lib/store/people/signInRequest'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const MINUTE = 60_000
const NOW = Date.UTC(2026, 9, 30, 16, 10)
const EMAIL = 'contact@test.invalid'
const source = '192.0.2.1'
const actor = { who: 'command', name: 'a test', address: null }

let database: TestDatabase
let personId: string
const getContext = () => ({ authPool: database.authPool, secret: 'a secret of the tests, long enough' })
beforeAll(async () => {
  database = await makeTestDatabase()
  personId = await ensurePerson(database.authPool, { email: EMAIL, name: 'Contact', roles: [] }, actor, NOW)
})
beforeEach(async () => {
  await database.authPool.query('delete from sign_in_request')
})

type WithCode = NewSignInRequest & { code: string }

async function ask(email = EMAIL, now = NOW, from = source): Promise<WithCode> {
  const made = await requestLink(getContext(), { email, source: from, wanted: '/plants/PL1' }, now)
  if ('waitSeconds' in made) throw new Error('It has to wait.')
  if (made.code === null) throw new Error('It has no code.')
  return { ...made, code: made.code }
}

const code = (made: { id: string }, typed: string, now = NOW) =>
  tryCode(getContext(), { id: made.id, code: typed, source }, now)
const wrong = (made: WithCode) => String((Number(made.code) + 1) % 10 ** 8).padStart(8, '0')
const admitted = () => ({ personId, wanted: '/plants/PL1' })

describe('a link', () => {
  test('signs its person in once', async () => {
    const made = await ask(' Contact@Test.INVALID ')
    expect(await consumeLink(getContext(), made.token, NOW)).toEqual(admitted())
    expect(await consumeLink(getContext(), made.token, NOW)).toBe(null)
  })

  test('pressed many times at once signs in once', async () => {
    const made = await ask()
    const outcomes = await Promise.all(
      Array.from({ length: 20 }, () => consumeLink(getContext(), made.token, NOW)),
    )
    expect(outcomes.filter((outcome) => outcome !== null)).toHaveLength(1)
  })

  test('works for 15 minutes, to the millisecond before', async () => {
    const late = await ask()
    expect(await consumeLink(getContext(), late.token, NOW + 15 * MINUTE)).toBe(null)
    expect(await consumeLink(getContext(), late.token, NOW + 15 * MINUTE - 1)).toEqual(admitted())
  })

  test('is invalid if made up', async () => {
    await ask()
    expect(await consumeLink(getContext(), 'x'.repeat(43), NOW)).toBe(null)
  })

  test('is stored only as a digest', async () => {
    const made = await ask()
    const { rows } = await database.owner.query('select r::text as row from sign_in_request r')
    const stored = rows.map(({ row }) => row).join()
    const hex = (text: string) => Buffer.from(text).toString('hex')
    for (const kept of [made.token, made.code, EMAIL]) {
      expect(stored).not.toContain(kept)
      expect(stored).not.toContain(hex(kept))
    }
  })
})

describe('a code', () => {
  test('signs its person in once, however it is spaced, and uses up the link', async () => {
    const made = await ask()
    expect(await code(made, `${made.code.slice(0, 4)} ${made.code.slice(4)}`)).toEqual(admitted())
    expect(await code(made, made.code)).toBe(null)
    expect(await consumeLink(getContext(), made.token, NOW)).toBe(null)
  })

  test('is used up by the link', async () => {
    const made = await ask()
    await consumeLink(getContext(), made.token, NOW)
    expect(await code(made, made.code)).toBe(null)
  })

  test('allows a fixed number of wrong tries, even concurrently, and then refuses the right one', async () => {
    const made = await ask()
    expect(await code(made, wrong(made))).toEqual({ triesLeft: CODE_TRIES - 1 })
    const more = await Promise.all(Array.from({ length: 20 }, () => code(made, wrong(made))))
    expect(more.filter((outcome) => outcome !== null)).toHaveLength(CODE_TRIES - 1)
    expect(await code(made, made.code)).toBe(null)
    expect(await consumeLink(getContext(), made.token, NOW)).toEqual(admitted())
  })

  test('is counted before it is compared, so that concurrent tries cannot exceed the limit', async () => {
    const made = await ask()
    expect(await code(made, made.code)).toEqual(admitted())
    const { rows } = await database.owner.query('select tries_left from sign_in_request')
    expect(rows).toEqual([{ tries_left: CODE_TRIES - 1 }])
  })

  test('works only in the browser that asked for it', async () => {
    const [mine, theirs] = [await ask(), await ask()]
    expect(await code(theirs, mine.code)).toEqual({ triesLeft: CODE_TRIES - 1 })
    expect(await code({ ...mine, id: 'made up' }, mine.code)).toBe(null)
  })

  test('is too old after 15 minutes', async () => {
    const made = await ask()
    expect(await code(made, made.code, NOW + 15 * MINUTE)).toBe(null)
  })

  test('that was wrong is recorded as refused', async () => {
    const made = await ask()
    await code(made, wrong(made))
    const { rows } = await database.owner.query(
      `select who, address, what, subject from audit_entry where outcome = 'refused' order by seq desc limit 1`,
    )
    expect(rows).toEqual([{ who: 'nobody', address: source, what: 'signed in', subject: personId }])
  })
})

describe('an address that nobody has, and one of someone who has left', () => {
  test.each(['nobody@test.invalid', 'left@test.invalid'])(
    '%s: all looks the same, and nothing opens',
    async (email) => {
      const left = { email: 'left@test.invalid', name: 'Left', roles: [] }
      await ensurePerson(database.authPool, left, actor, NOW)
      await database.authPool.query(`update person set left_at = now() where email = 'left@test.invalid'`)
      const made = await ask(email)
      expect(made.person).toBe(null)
      expect(await consumeLink(getContext(), made.token, NOW)).toBe(null)
      for (let left = CODE_TRIES - 1; left >= 0; left -= 1)
        expect(await code(made, made.code)).toEqual({ triesLeft: left })
      expect(await code(made, made.code)).toBe(null)
    },
  )
})

describe('asking too often', () => {
  const asked = (email: string, from: string, now: number) =>
    requestLink(getContext(), { email, source: from, wanted: null }, now)

  test.each([EMAIL, 'nobody@test.invalid'])(
    'for %s, from wherever, has to wait, also when asked at once',
    async (email) => {
      const all = await Promise.all(
        Array.from({ length: MAX_REQUESTS.address + 3 }, (_, n) => asked(email, `192.0.2.${n}`, NOW)),
      )
      expect(all.filter((one) => 'waitSeconds' in one)).toEqual([
        { waitSeconds: 900 },
        { waitSeconds: 900 },
        { waitSeconds: 900 },
      ])
      expect(await asked(email, source, NOW + 5 * MINUTE)).toEqual({ waitSeconds: 600 })
      expect(await asked(email, source, NOW + 15 * MINUTE)).toHaveProperty('token')
      expect(await asked('other@test.invalid', source, NOW)).toHaveProperty('token')
    },
  )

  test('leaves the owner of the address a code that was sent before, its tries, and each link that others asked for', async () => {
    const mine = await ask()
    const others = [await ask(), await ask(EMAIL, NOW, '192.0.2.2'), await ask(), await ask()]
    expect(await asked(EMAIL, source, NOW + MINUTE)).toEqual({ waitSeconds: 840 })
    for (const made of others) for (let n = 0; n < CODE_TRIES; n += 1) await code(made, wrong(made))
    expect(await code(mine, wrong(mine))).toEqual({ triesLeft: CODE_TRIES - 1 })
    expect(await code(mine, mine.code)).toEqual(admitted())
    for (const { token } of others) expect(await consumeLink(getContext(), token, NOW)).toEqual(admitted())
  })

  test('never leaves an address without a link that works', async () => {
    for (let n = 0; n < MAX_REQUESTS.address; n += 1) await ask(EMAIL, NOW + n * MINUTE)
    for (let now = NOW + 5 * MINUTE; now < NOW + 60 * MINUTE; now += MINUTE / 4) {
      const made = await asked(EMAIL, source, now)
      if ('token' in made) continue
      const { rows } = await database.owner.query('select from sign_in_request where expires_at > $1', [
        new Date(now),
      ])
      expect(rows.length).toBeGreaterThan(0)
    }
  })

  describe('from one source, whatever the addresses', () => {
    beforeEach(async () => {
      for (let n = 0; n < MAX_REQUESTS.source; n += 1) await ask(`n${n}@test.invalid`)
    })

    test('still gets each address one link, but no more codes', async () => {
      const made = await asked(EMAIL, source, NOW + MINUTE)
      if ('waitSeconds' in made) throw new Error('It has to wait.')
      expect(made.code).toBe(null)
      for (let typed = 0; typed < 3; typed += 1)
        expect(await code(made, String(typed).padStart(8, '0'))).toBe(null)
      expect(await asked(EMAIL, source, NOW + 2 * MINUTE)).toEqual({ waitSeconds: 840 })
      const used = await consumeLink(getContext(), made.token, NOW + 3 * MINUTE)
      expect(used).toEqual({ personId, wanted: null })
      // A used link is not told from one that was not.
      expect(await asked(EMAIL, source, NOW + 4 * MINUTE)).toEqual({ waitSeconds: 720 })
    })

    test('looks the same for an address that nobody has', async () => {
      const shape = async (email: string) => {
        const first = await asked(email, source, NOW)
        return [Object.keys(first), 'code' in first && first.code, await asked(email, source, NOW + MINUTE)]
      }
      expect(await shape('nobody@test.invalid')).toEqual(await shape(EMAIL))
    })

    test('limits no other source', async () => {
      const made = await asked(EMAIL, '192.0.2.2', NOW)
      expect(made).toMatchObject({ code: expect.stringMatching(/^\d{8}$/) })
    })

    test('is over when those of a quarter of an hour ago are', async () => {
      expect(await asked(EMAIL, source, NOW + 15 * MINUTE)).toMatchObject({ code: expect.any(String) })
    })
  })

  test('is answered without waiting for others of the same source, so that a flood holds no connections', async () => {
    for (let n = 0; n < MAX_REQUESTS.address; n += 1) await asked(EMAIL, source, NOW)
    const counting = await database.owner.connect()
    try {
      await counting.query('begin')
      await counting.query('select pg_advisory_xact_lock(hashtextextended($1, 5))', [source])
      const flood = Promise.all(Array.from({ length: 20 }, () => asked(EMAIL, source, NOW)))
      const patience = new Promise((resolve) => setTimeout(resolve, 5_000, 'kept waiting'))
      expect(await Promise.race([flood, patience])).toEqual(Array(20).fill({ waitSeconds: 900 }))
    } finally {
      await counting.query('rollback')
      counting.release()
    }
  })
})
