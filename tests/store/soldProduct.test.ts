import { expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '@/tests/bench/manyEvents'
import { checkedRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase } from '@/tests/setup/database'

const random = makeRandom(90_212)
const [FORMER, LOST] = [generateKitCode(random), generateKitCode(random)]
const DAY = 86_400_000
const NOW = Date.parse('2026-11-28T12:00:00Z')
const day = (days: number) => new Date(NOW + days * DAY).toISOString()

/** Cork is made by one plant; both have kits that can become any product. */
const makeSoldRegister = (maker: { plant: string; makers?: readonly [string, string] }) =>
  checkedRegister({
    plants: ['PL1', 'PL2'].map((code, index) => ({
      code,
      name: code,
      zone: 'UTC',
      maker: (maker.makers ?? ['One', 'Two'])[index],
    })),
    products: [{ code: 'CORK', plant: maker.plant, name: 'Cork underlay', protocol: 'TEN' }],
    duties: [
      {
        code: 'CORK yearly',
        product: 'CORK',
        laboratory: 'LAB',
        first: day(50).slice(0, 10),
        everyMonths: 12,
        windowDays: 60,
        kitDays: 4,
        loadDays: 2,
        testDays: 14,
        reportDays: 5,
      },
    ],
    kits: [
      { code: LOST, plant: 'PL1', laboratory: 'LAB', issuedAt: day(-6) },
      { code: FORMER, plant: 'PL2', laboratory: 'LAB', issuedAt: day(-1) },
    ],
  })

test('of a product that went to another maker the former one’s samples settle no test, hide nothing and are not told', async () => {
  const { app } = await makeTestDatabase()
  await applyRegister(app, makeSoldRegister({ plant: 'PL2' }), NOW - 9 * DAY)
  await applyRegister(app, makeSoldRegister({ plant: 'PL1' }), NOW - 8 * DAY)
  const lost = [
    { source: 'dock', id: 'cut', sample: LOST, kind: 'collected', at: day(-5), product: 'CORK' },
    { source: 'dock', id: 'lost', sample: LOST, kind: 'lost', at: day(-3) },
  ]
  await acceptEvents(app, wire(...lost), UNRESTRICTED, NOW)
  const due = async (scope: 'all' | { plants: string[]; laboratories: string[] }) => {
    const { owed, overdue } = await getDueWork(app, scope, NOW)
    return [owed, overdue].map((list) => list.filter(({ plant }) => plant === 'PL1'))
  }
  const own = { plants: ['PL1'], laboratories: [] }
  const before = await due(own)
  expect(before[0]?.map(({ duty }) => duty)).toEqual(['CORK yearly'])
  expect(JSON.stringify(before[1])).toContain('lapsed with no re-collection')
  const reported = ['collected', 'received', 'loaded', 'reported'].map((kind) => ({
    source: 'rival',
    id: kind,
    sample: FORMER,
    kind,
    at: day(-0.5),
    ...(kind === 'collected' ? { product: 'CORK' } : {}),
  }))
  await acceptEvents(app, wire(...reported), UNRESTRICTED, NOW)
  expect([await due(own), await due('all')]).toEqual([before, before])

  // Plants of one maker test for each other.
  await applyRegister(app, makeSoldRegister({ plant: 'PL1', makers: ['One', 'One'] }), NOW)
  expect([await due(own), await due('all')]).toEqual([
    [[], []],
    [[], []],
  ])
})
