import { describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getFigures } from '@/lib/store/read/figures/figures'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '../../../bench/manyEvents'
import { checkedRegister, wire } from '../../../cases/smallProgramme'
import { makeTestDatabase } from '../../../setup/database'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const random = makeRandom(303)
const day = (n: number) => new Date(NOW - n * 86_400_000).toISOString()

/** A programme in which each of these makers' plants has two samples kept in October, one lapsed and one open. */
async function programme(makers: (string | undefined)[]) {
  const { app } = await makeTestDatabase()
  const plants = makers.map((maker, index) => ({
    code: `P${index}`,
    name: `Plant ${index}`,
    zone: 'UTC',
    ...(maker ? { maker } : {}),
  }))
  const kits = plants.flatMap(({ code }) =>
    [1, 2, 3, 4].map(() => ({
      code: generateKitCode(random),
      plant: code,
      laboratory: 'LAB',
      product: `FELT ${code}`,
      issuedAt: day(60),
    })),
  )
  const products = plants.map(({ code }) => ({
    code: `FELT ${code}`,
    plant: code,
    name: 'Felt',
    protocol: 'TEN',
  }))
  await applyRegister(app, checkedRegister({ plants, kits, products }), NOW)
  const events = kits.flatMap(({ code: sample }, index) => {
    const cut = {
      source: 'desk',
      id: `${sample} cut`,
      sample,
      kind: 'collected',
      at: day(index % 4 === 3 ? 1 : 40),
    }
    const hours = index % 4 === 2 ? 26 : 36
    const loaded = { source: 'desk', id: `${sample} loaded`, sample, kind: 'loaded', at: day(hours) }
    return index % 4 === 3 ? [cut] : [cut, loaded]
  })
  await acceptEvents(app, wire(...events), UNRESTRICTED, NOW)
  return app
}

describe('the figures over all plants', () => {
  test('are shown with three makers', async () => {
    const found = await getFigures(await programme(['one', 'two', 'three']), NOW)
    expect(found.open).toEqual({
      figures: [
        { name: 'lapsed', count: 0 },
        { name: 'at risk', count: 0 },
        { name: 'tight', count: 0 },
        { name: 'sound', count: 3 },
      ],
      total: 3,
    })
    expect(
      found.months.map(({ month, settled }) => [
        month,
        settled.figures.map(({ count }) => count),
        settled.total,
      ]),
    ).toEqual([['2026-10', [6, 0, 3, 0, 0], 9]])
  })

  test.each([
    ['two makers', ['one', 'two']],
    ['three plants of two makers', ['one', 'one', 'two']],
    ['three plants of which two name no maker', ['one', undefined, undefined]],
  ])('are withheld with %s', async (_, makers) => {
    const found = await getFigures(await programme(makers), NOW)
    expect(found.open.total).toBeNull()
    expect(found.open.figures.every(({ count }) => count === null)).toBe(true)
    expect(
      found.months.every(
        ({ settled }) => settled.total === null && settled.figures.every(({ count }) => count === null),
      ),
    ).toBe(true)
  })

  test('name no plant, maker, product or kit', async () => {
    const text = JSON.stringify(
      await getFigures(await programme(['maker one', 'maker two', 'maker three']), NOW),
    )
    expect(text).not.toMatch(/Plant|P\d|maker|Felt|FELT/)
  })
})
