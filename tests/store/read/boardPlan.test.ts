import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { IS_DUE } from '@/lib/store/projection/deriveDue'
import { SCORED_SAMPLES } from '@/lib/store/projection/storedForecast'
import { URGENT_SQL } from '@/lib/store/read/board'
import { SETTLED_SQL } from '@/lib/store/read/plant/plantHistory'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { withScope } from '@/lib/store/scope/scope'
import { makeManyEvents, makeManyKits } from '@/tests/bench/manyEvents'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.UTC(2026, 1, 20)
const KEY_CODE = '7KQ2M94Y'
let database: TestDatabase

beforeAll(async () => {
  database = await makeTestDatabase()
  const register = makeManyKits(4_000, 5)
  await applyRegister(database.app, register, NOW)
  const events = makeManyEvents(
    register.kits.map(({ code }) => code),
    31_000,
    'plan',
  )
  const body = events.map((event) => JSON.stringify(event)).join('\n')
  const { readEvents } = await import('@/lib/intake/formats/readEvents')
  await acceptEvents(database.app, () => readEvents(body, 'ndjson', () => 'UTC'), UNRESTRICTED, NOW)
  await database.owner.query('analyze')
})

/** The plan of a query as the app's role gets it. */
async function explain(sql: string, values: unknown[] = [], scope: Scope = 'all'): Promise<string> {
  const { rows } = await withScope(database.app, scope, (client) => client.query(`explain ${sql}`, values))
  return rows.map((row) => row['QUERY PLAN']).join('\n')
}

describe('with thousands of settled samples', () => {
  test.each([
    ['nothing', [null, null, null, null, null, null], []],
    ['kits that are only issued', ['issued', null, null, null, null, null], ['(stage IS NULL)']],
    [
      'a stage and a group',
      ['dispatched', null, null, [KEY_CODE], [KEY_CODE], ['tight']],
      ["(stage = 'dispatched'::text)", 'tight'],
    ],
    ['words', [null, '%word%', null, null, null, null], ["(search ~~ '%word%'::text)"]],
    ['words with a code in them', [null, '%wo%', '%0%', null, null, null], ["OR (search ~~ '%0%'::text)"]],
  ])(
    'the board filtered by %s finds open samples by an index, and its plan has no other condition',
    async (_, asked, conditions) => {
      const plan = await explain(URGENT_SQL, [new Date(NOW), ...asked])
      expect(plan).toMatch(/sample_open_by_press/)
      expect(plan).not.toMatch(/Seq Scan on sample( |$)/m)
      for (const condition of conditions) expect(plan).toContain(condition)
      expect(plan.includes('stage')).toBe(asked[0] !== null)
      expect(plan.includes('search')).toBe(asked[1] !== null)
      expect(plan.includes('CASE')).toBe(asked[3] !== null)
    },
  )

  test.each<[string, Scope]>([
    ['an administrator', 'all'],
    ['the plant’s contact', { plants: ['PB1'], laboratories: [] }],
    ['the laboratory’s desk', { plants: [], laboratories: ['LB1'] }],
  ])('for %s, a page of those of a plant is found by an index, in its order', async (_, scope) => {
    for (const isOlder of [false, true]) {
      const below = isOlder ? [new Date(NOW), KEY_CODE] : [null, null]
      const plan = await explain(SETTLED_SQL, ['PB1', 51, ...below], scope)
      expect(plan).toMatch(/Index Scan Backward using sample_settled/)
      expect(plan).not.toMatch(/Seq Scan on sample|Sort Key: sample/)
      expect(plan.includes('ROW(settled_at, code) < ')).toBe(isOlder)
    }
  })

  test('samples to derive again, and the newest entry that is not a kit, are found by an index', async () => {
    const due = await explain(`select 1 from sample where ${IS_DUE} limit 1`, [new Date(NOW)])
    expect(due).toMatch(/sample_deriving_again[\s\S]*sample_holds_from_at_idx/)
    expect(due).not.toMatch(/Seq Scan/)
    expect(await explain("select max(seq) from register_entry where kind <> 'kit'")).toMatch(
      /register_entry_but_kits/,
    )
  })

  test('samples to score, and samples that their forecast calls tight, are found by an index', async () => {
    await database.owner.query(
      `insert into forecast (code, plant, laboratory, scored_at, limit_name, tight_at)
       select code, plant, laboratory, now(), 'any', 'infinity' from sample`,
    )
    await database.owner.query('analyze')
    const due = await explain(
      'select from forecast where (scored_at is null or scored_at < $1 or scored_at > $2) limit 1',
      [new Date(0), new Date(Date.now() + 900_000)],
    )
    expect(due).toMatch(/forecast_scored_at_idx/)
    expect(due).not.toMatch(/Seq Scan/)
    const turned = await explain(
      `select code from ${SCORED_SAMPLES} where settled is null and risk_tight_at <= $1 order by risk_at_risk_at limit 401`,
      [new Date(NOW)],
    )
    expect(turned).toMatch(/forecast_turned/)
  })
})
