import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getPlantHistory, HISTORY_CURSOR } from '@/lib/store/read/plant/plantHistory'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { iteratePages } from '@/lib/store/scope/pages'
import { makeRandom } from '../../../bench/manyEvents'
import { checkedRegister, smallRegister, wire } from '../../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../../setup/database'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const AT_ONCE = '2026-10-05T10:00:00Z'
const random = makeRandom(3107)
const codes = (many: number) => Array.from({ length: many }, () => generateKitCode(random)).sort()

/** Samples of the first plant: settled at one instant, before it, and after it one by one; not settled; and those of another laboratory. */
const KITS = { equal: codes(40), before: codes(3), after: codes(7), open: codes(4), elsewhere: codes(2) }
const OTHERS = codes(5)
const SETTLED = [...KITS.equal, ...KITS.before, ...KITS.after, ...KITS.elsewhere]

const ended = (sample: string, at: string) => ({
  source: 'desk',
  id: `${sample} ended`,
  sample,
  kind: 'cancelled',
  at,
})

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  const { app } = database
  const kit = (plant: string, product: string, laboratory: string) => (code: string) => ({
    code,
    product,
    plant,
    laboratory,
    issuedAt: '2026-09-01T08:00:00Z',
  })
  const laboratories = smallRegister().laboratories as Record<string, unknown>[]
  const register = checkedRegister({
    laboratories: [...laboratories, { ...laboratories[0], code: 'LAB2', name: 'Another laboratory' }],
    kits: [
      ...[KITS.equal, KITS.before, KITS.after, KITS.open].flat().map(kit('PL1', 'FELT', 'LAB')),
      ...KITS.elsewhere.map(kit('PL1', 'FELT', 'LAB2')),
      ...OTHERS.map(kit('PL2', 'CORK', 'LAB')),
    ],
  })
  await applyRegister(app, register, NOW)
  const events = [
    ...[...KITS.equal, ...KITS.elsewhere, ...OTHERS].map((code) => ended(code, AT_ONCE)),
    ...KITS.before.map((code, index) => ended(code, `2026-09-1${index}T10:00:00Z`)),
    ...KITS.after.map((code, index) => ended(code, `2026-10-1${index}T10:00:00.123Z`)),
  ]
  await acceptEvents(app, wire(...events), UNRESTRICTED, NOW)
})

const read = (olderThan: string | null, most: number, scope: Scope = 'all') =>
  getPlantHistory(database.app, scope, 'PL1', olderThan, most, NOW)

/** The codes of all pages of so many rows, as one of the scope reads them; `between` is done after each page. */
async function readThrough(most: number, scope: Scope = 'all', between = async () => {}) {
  const first = await read(null, most, scope)
  if (first === null) throw new Error('no such plant')
  const found: string[] = []
  for await (const { rows, olderThan } of iteratePages(first, (key) => read(key, most, scope))) {
    expect(rows.length).toBeGreaterThan(0)
    if (olderThan !== null) expect(HISTORY_CURSOR.parse(olderThan)).toBe(olderThan)
    found.push(...rows.map(({ code }) => code))
    await between()
  }
  return found
}

const newestFirst = [
  ...KITS.after.toReversed(),
  ...[...KITS.equal, ...KITS.elsewhere].sort().reverse(),
  ...KITS.before.toReversed(),
]

describe('the settled samples of a plant', () => {
  test.each([1, 7, 13, 51, 52, 53, 1_000])(
    'come page by page, each once, the last settled first, %i to a page',
    async (most) => expect(await readThrough(most)).toEqual(newestFirst),
  )

  test('are counted over all pages', async () => {
    expect(SETTLED).toHaveLength(52)
    const page = await read(null, 10)
    expect(page).toMatchObject({ total: 52, asOf: NOW, plant: { code: 'PL1', zone: 'Europe/Lisbon' } })
    expect((await read(page?.olderThan ?? null, 10))?.total).toBe(52)
  })

  test('are none after the last page, though the plant is still known', async () => {
    const beyond = await read(`0.${KITS.equal[0]}`, 10)
    expect(beyond).toMatchObject({ rows: [], olderThan: null, total: 52 })
  })

  test('are limited to a desk’s laboratory', async () => {
    const scope = { plants: [], laboratories: ['LAB2'] }
    expect(await readThrough(1, scope)).toEqual(KITS.elsewhere.toReversed())
    expect((await read(null, 1, scope))?.total).toBe(2)
  })

  test('are answered for another’s plant as for an unknown one', async () => {
    const asked = (scope: Scope, code: string) => getPlantHistory(database.app, scope, code, null, 10, NOW)
    expect(await asked({ plants: ['PL2'], laboratories: [] }, 'PL1')).toBeNull()
    expect(await asked({ plants: ['PL2'], laboratories: [] }, 'PL9')).toBeNull()
    expect((await asked({ plants: ['PL2'], laboratories: [] }, 'PL2'))?.total).toBe(5)
  })
})

// The last of the file: it settles more.
test('a sample that settles while one reads is neither missed nor repeated', async () => {
  const late = [...KITS.open]
  const between = async () => {
    const code = late.pop()
    const event = code && ended(code, `2026-11-0${1 + late.length}T10:00:00Z`)
    if (event) await acceptEvents(database.app, wire(event), UNRESTRICTED, NOW)
  }
  expect(await readThrough(9, 'all', between)).toEqual(newestFirst)
  expect(await readThrough(9)).toEqual([...KITS.open.toReversed(), ...newestFirst])
})

test.each([
  '',
  '7',
  '1.',
  '.7KQ2M94Y',
  '1.7KQ2M94Y;',
  "1.7KQ2M94'",
  '1e3.7KQ2M94Y',
  `${'9'.repeat(16)}.7KQ2M94Y`,
  // 15 digits, and days that PostgreSQL cannot hold or no event can have.
  '-999999999999999.7KQ2M94Y',
  '-210866803200001.7KQ2M94Y',
  '999999999999999.7KQ2M94Y',
])('%j is not a cursor', (text) => expect(HISTORY_CURSOR.safeParse(text).success).toBe(false))
