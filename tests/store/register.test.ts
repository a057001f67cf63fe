import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { message } from '@/lib/messages/message'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT, smallRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const LATER = Date.parse('2026-10-25T12:00:00Z')
let database: TestDatabase

beforeAll(async () => {
  database = await makeTestDatabase()
})

const apply = async (changes: Record<string, unknown>, now = NOW) =>
  applyRegister(database.app, checkedRegister(changes), now)

async function readDue(code: string): Promise<string | null> {
  const { rows } = await database.owner.query<{ due_at: Date | null }>(
    'select due_at from sample where code = $1',
    [code],
  )
  return rows[0]?.due_at?.toISOString() ?? null
}

const days = (amount: number) => [
  {
    code: 'TEN',
    name: 'Some days',
    limits: [
      { name: 'cut to chamber', from: 'collected', to: 'loaded', amount, unit: 'days', counting: 'elapsed' },
    ],
  },
]

describe('the register', () => {
  test('sent again changes nothing', async () => {
    expect((await apply({})).change).toMatchObject({ added: 9, changed: 0, removed: 0, unchanged: 0 })
    expect((await apply({}, LATER)).change).toEqual({
      added: 0,
      changed: 0,
      removed: 0,
      unchanged: 9,
      derived: 0,
    })
    expect((await database.owner.query('select count(*)::int as n from register_entry')).rows).toEqual([
      { n: 9 },
    ])
  })

  test('judges a clock by the limit in force at its start, and derives again what that changes', async () => {
    await acceptEvents(
      database.app,
      wire({ source: 'desk', id: 'cut', sample: KIT, kind: 'collected', at: '2026-10-22T09:00:00Z' }),
      UNRESTRICTED,
      LATER,
    )
    expect(await readDue(KIT)).toBe('2026-11-01T09:00:00.000Z')
    // Shortened on 25 October: a clock that started on the 22nd keeps its ten days.
    expect((await apply({ protocols: days(3) }, LATER)).change).toMatchObject({ changed: 1 })
    expect(await readDue(KIT)).toBe('2026-11-01T09:00:00.000Z')
    await acceptEvents(
      database.app,
      wire({
        source: 'desk',
        id: 'recut',
        sample: KIT,
        kind: 'collected',
        at: '2026-10-25T13:00:00Z',
        corrects: 'desk/cut',
      }),
      UNRESTRICTED,
      LATER + 3_600_000,
    )
    expect(await readDue(KIT)).toBe('2026-10-28T13:00:00.000Z')
  })

  test('refuses a zone that would hold later', async () => {
    const plants = (zone: string) => [
      { code: 'PL1', name: 'A plant', zone: 'Europe/Lisbon' },
      { code: 'PL2', name: 'Another plant', zone },
    ]
    const ahead = { protocols: days(3), plants: plants('Asia/Tokyo'), holdsFrom: '2026-11-01T00:00:00Z' }
    const { change, refusals } = await apply(ahead, LATER)
    expect(change).toBeNull()
    expect(refusals).toEqual([
      { pointer: '/plants/1/zone', detail: expect.objectContaining({ key: 'register.zoneAhead' }) },
    ])
    const past = { protocols: days(3), plants: plants('Asia/Tokyo'), holdsFrom: '2026-10-01T00:00:00Z' }
    expect((await apply(past, LATER)).change).toMatchObject({ changed: 1 })
    expect((await apply({ protocols: days(3) }, LATER)).change).toMatchObject({ changed: 1 })
  })

  test('keeps what events need', async () => {
    const { change, refusals } = await apply({ kits: [] })
    expect(change).toBeNull()
    expect(refusals).toEqual([{ pointer: '/kits', detail: message('register.kitHasEvents', { code: KIT }) }])
  })

  test('moves a due when a laboratory closes on a day ahead, and not for days already past', async () => {
    const working = (closed: string[]) => ({
      protocols: [
        {
          code: 'TEN',
          name: 'Three',
          limits: [
            { name: 'cut to dock', from: 'collected', to: 'received', amount: 3, unit: 'working days' },
          ],
        },
      ],
      laboratories: (smallRegister().laboratories as Record<string, unknown>[]).map((one) => ({
        ...one,
        closed,
      })),
    })
    await apply(working([]), LATER)
    // Cut on Sunday 25 October; open from Monday to Thursday: due at the end of Wednesday in New York.
    await acceptEvents(
      database.app,
      wire({
        source: 'desk',
        id: 'third',
        sample: KIT,
        kind: 'collected',
        at: '2026-10-25T13:30:00Z',
        corrects: 'desk/recut',
      }),
      UNRESTRICTED,
      LATER + 7_200_000,
    )
    expect(await readDue(KIT)).toBe('2026-10-29T03:59:59.999Z')
    const tuesday = Date.parse('2026-10-27T12:00:00Z')
    // Said on Tuesday: closed on Monday (past, so it stays open) and on Wednesday (ahead, so it counts).
    await apply(working(['2026-10-26', '2026-10-28']), tuesday)
    expect(await readDue(KIT)).toBe('2026-10-30T03:59:59.999Z')
  })
})
