import { beforeAll, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { COUNTING_CHOICES } from '@/lib/hold/units'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { getBoard } from '@/lib/store/read/board'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT, smallRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const limit = (name: string, amount: number, rest: object) => ({
  name,
  from: 'collected',
  to: 'loaded',
  amount,
  ...rest,
})

const SMALLEST_AND_LARGEST = [0, 10_000].flatMap((amount) =>
  [...COUNTING_CHOICES].map(([choice, says]) => limit(`${amount} ${choice}`, amount, says)),
)

/** Every day of the twenty years from 2020 on. */
const TWENTY_YEARS = Array.from({ length: 7305 }, (_, day) =>
  new Date(Date.UTC(2020, 0, 1 + day)).toISOString().slice(0, 10),
)

test.each([
  ['0001-01-01', ['0028', '0834']],
  ['2026-10-20T11:00:00Z', ['2054', '2860']],
  ['9999-12-31T23:59:60-23:59', ['10027', '10833']],
])(
  'a sample cut at %s is derived, stored and shown with limits of 0 and 10,000',
  async (at, [days, months]) => {
    const [laboratory] = smallRegister().laboratories as Record<string, unknown>[]
    const document = checkedRegister({
      protocols: [{ code: 'TEN', name: 'Extremes', limits: SMALLEST_AND_LARGEST }],
      laboratories: [{ ...laboratory, receiving: { sun: ['08:00-16:00'] }, closed: TWENTY_YEARS }],
    })
    const now = at.startsWith('9999') ? Date.parse('+010000-01-03T00:00:00Z') : NOW
    await applyRegister(database.app, document, now)
    const cut = { source: 'desk', id: at, sample: KIT, kind: 'collected', at, place: 'PL1' }
    await acceptEvents(database.app, wire(cut), UNRESTRICTED, now)
    const dossier = await getSampleDossier(database.app, 'all', KIT, now)
    const year = (name: string) => {
      const clock = dossier?.sample.clocks.find((one) => one.limit.name === name)
      return String(new Date(clock?.dueAt as number).getUTCFullYear()).padStart(4, '0')
    }
    expect([year('10000 calendar days at the plant'), year('10000 months at the laboratory')]).toEqual([
      days,
      months,
    ])
    expect(dossier?.row.binding).not.toBeNull()
    expect((await getBoard(database.app, 'all', {}, now)).bands.length).toBeGreaterThan(0)
    const { rows } = await database.owner.query('select s::text from sample s order by code')
    await rebuild(database.app, now)
    expect((await database.owner.query('select s::text from sample s order by code')).rows).toEqual(rows)
    const undo = { ...cut, id: `undo ${at}`, kind: 'withdrawn', corrects: `desk/${at}` }
    await acceptEvents(database.app, wire(undo), UNRESTRICTED, now)
  },
)
