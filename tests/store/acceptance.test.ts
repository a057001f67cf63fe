import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT, OTHER_KIT, UNKNOWN_KIT, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
let database: TestDatabase

beforeAll(async () => {
  database = await makeTestDatabase()
  await applyRegister(database.app, checkedRegister({ kits: checkedRegister().kits.slice(0, 1) }), NOW)
})

async function accept(...events: Record<string, unknown>[]) {
  const results = await acceptEvents(database.app, wire(...events), UNRESTRICTED, NOW)
  return results.map(({ acceptance }) => acceptance)
}

const unplacedIds = async () =>
  (
    await database.owner.query(
      'select e.id from unplaced u join event e on e.seq = u.event_seq order by e.id',
    )
  ).rows.map(({ id }) => id)

describe('an event offered', () => {
  const cut = { source: 'desk', id: 'a', sample: KIT, kind: 'collected', at: '2026-10-19T10:00:00Z' }

  test('is accepted once, known after, and in conflict with other content, which leaves the first standing', async () => {
    expect(await accept(cut)).toEqual(['accepted'])
    expect(await accept({ ...cut, sample: KIT.toLowerCase(), reportedAt: '2026-10-19T11:00:00Z' })).toEqual([
      'already known',
    ])
    expect(await accept({ ...cut, at: '2026-10-19T10:00:01Z' })).toEqual(['conflict'])
    const { rows } = await database.owner.query("select at from event where source = 'desk' and id = 'a'")
    expect(rows).toEqual([{ at: '2026-10-19T10:00:00Z' }])
  })

  test('meets its repetition and its conflict within one body', async () => {
    const sealed = { source: 'desk', id: 'b', sample: KIT, kind: 'sealed', at: '2026-10-19T10:05:00Z' }
    expect(await accept(sealed, sealed, { ...sealed, lot: '7' })).toEqual([
      'accepted',
      'already known',
      'conflict',
    ])
  })

  test('is accepted by one of many who offer it at once', async () => {
    const event = { source: 'desk', id: 'race', sample: KIT, kind: 'scanned', at: '2026-10-19T12:00:00Z' }
    const results = await Promise.all(Array.from({ length: 20 }, () => accept(event)))
    expect(results.flat().sort()).toEqual(['accepted', ...Array(19).fill('already known')])
  })

  test('may use the key of a refused one', async () => {
    const wrong = { source: 'desk', id: 'again', sample: KIT, kind: 'cut', at: '2026-10-19T12:00:00Z' }
    expect(await accept(wrong)).toEqual([null])
    expect(await accept({ ...wrong, kind: 'scanned' })).toEqual(['accepted'])
  })

  test('is unplaced until its kit is known, and then placed by itself', async () => {
    expect(
      await accept({
        source: 'desk',
        id: 'early',
        sample: OTHER_KIT,
        kind: 'collected',
        at: '2026-10-19T10:00:00Z',
      }),
    ).toEqual(['unplaced'])
    expect(await unplacedIds()).toEqual(['early'])
    await applyRegister(database.app, checkedRegister(), NOW)
    expect(await unplacedIds()).toEqual([])
    const { rows } = await database.owner.query('select stage from sample where code = $1', [OTHER_KIT])
    expect(rows).toEqual([{ stage: 'collected' }])
  })

  test('of a consignment is unplaced until the dispatch comes, and again once that is withdrawn', async () => {
    const carried = { service: 'road', waybill: 'W 1-2' }
    expect(
      await accept({
        source: 'carrier',
        id: 'here',
        kind: 'delivered',
        at: '2026-10-20T09:00:00Z',
        ...carried,
      }),
    ).toEqual(['unplaced'])
    const dispatched = {
      source: 'desk',
      id: 'gone',
      sample: KIT,
      kind: 'dispatched',
      at: '2026-10-19T15:00:00Z',
    }
    expect(await accept({ ...dispatched, service: 'road', waybill: 'w12' })).toEqual(['accepted'])
    expect(await unplacedIds()).toEqual([])
    await accept({
      source: 'desk',
      id: 'oops',
      sample: KIT,
      kind: 'withdrawn',
      at: '2026-10-20T10:00:00Z',
      corrects: 'desk/gone',
    })
    expect(await unplacedIds()).toEqual(['here'])
  })

  test('of an unknown kit that is withdrawn needs nobody to place it', async () => {
    await accept({
      source: 'desk',
      id: 'slip',
      sample: UNKNOWN_KIT,
      kind: 'collected',
      at: '2026-10-19T10:00:00Z',
    })
    expect(await unplacedIds()).toContain('slip')
    await accept({
      source: 'desk',
      id: 'slip2',
      sample: KIT,
      kind: 'withdrawn',
      at: '2026-10-20T10:00:00Z',
      corrects: 'desk/slip',
    })
    expect(await unplacedIds()).not.toContain('slip')
  })
})

describe('the ledgers', () => {
  test.each(['event', 'register_entry'])(
    'refuse to change or forget a row of %s, even to their owner',
    async (table) => {
      const column = table === 'event' ? 'lot' : 'code'
      for (const pool of [database.owner, database.app])
        for (const statement of [
          `update ${table} set ${column} = 'x'`,
          `delete from ${table}`,
          `truncate ${table} cascade`,
        ])
          await expect(pool.query(statement)).rejects.toThrow(/only grows|permission denied/)
    },
  )

  test('belong to the owner, and the app works as a role that owns nothing', async () => {
    const { rows } = await database.app.query(
      `select current_user as role, (select count(*)::int from pg_class where relowner = current_user::regrole) as owned,
         (select rolsuper from pg_roles where rolname = current_user) as "isSuper"`,
    )
    expect(rows).toEqual([{ role: 'holdfast_app', owned: 0, isSuper: false }])
  })
})
