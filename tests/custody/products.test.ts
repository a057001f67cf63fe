import { describe, expect, test } from 'vitest'
import { deriveKit, event, listFlags, SPARE } from './desk'

const cut = (at: string, more: Record<string, unknown> = {}) =>
  event('collected', at, { sample: SPARE, ...more })
const limits = (sample: ReturnType<typeof deriveKit>) => sample.clocks.map(({ limit }) => limit.name)

describe('a spare kit', () => {
  test('has no product and no clocks until it is cut', () => {
    const sample = deriveKit([event('sealed', '2026-10-20T10:00:00Z', { sample: SPARE })], { of: SPARE })
    expect([sample.product, sample.protocol, limits(sample), sample.settled]).toEqual([null, null, [], null])
  })

  test('has the product that `collected` names, and its protocol', () => {
    const sample = deriveKit([cut('2026-10-20T10:00:00Z', { product: 'PANEL', lot: 'L-7' })], { of: SPARE })
    expect([sample.product, sample.lot, sample.protocol, limits(sample)]).toEqual([
      'PANEL',
      'L-7',
      'Q',
      ['made to report'],
    ])
  })

  test('gets no product from a withdrawn `collected`', () => {
    const gone = event('withdrawn', '2026-10-21T10:00:00Z', { sample: SPARE, corrects: 'desk/slip' })
    const sample = deriveKit([cut('2026-10-20T10:00:00Z', { id: 'slip', product: 'PANEL' }), gone], {
      of: SPARE,
    })
    expect(sample.product).toBeNull()
  })

  test('whose reports name two products has the same one in any order, and is flagged', () => {
    const reports = [
      cut('2026-10-20T10:00:00Z', { product: 'PANEL' }),
      cut('2026-10-20T11:00:00Z', { product: 'TILE', source: 'lab' }),
    ]
    const samples = [reports, [...reports].reverse()].map((events) => deriveKit(events, { of: SPARE }))
    expect(samples[0]?.product).toBe(samples[1]?.product)
    for (const sample of samples) expect(listFlags(sample)).toContain('product differs')
  })

  test('with an unknown product is flagged, and has no clocks', () => {
    const sample = deriveKit([cut('2026-10-20T10:00:00Z', { product: 'CARPET' })], { of: SPARE })
    expect(listFlags(sample)).toEqual(['product unknown'])
    expect(limits(sample)).toEqual([])
  })
})

describe('a kit that has a product', () => {
  test('keeps it, and a report that names another is flagged', () => {
    const sample = deriveKit([event('collected', '2026-10-20T10:00:00Z', { product: 'PANEL' })])
    expect([sample.product, listFlags(sample)]).toEqual(['TILE', ['product differs']])
  })

  test('is not flagged if the report agrees', () => {
    expect(
      listFlags(deriveKit([event('collected', '2026-10-20T10:00:00Z', { product: 'TILE', lot: '7' })])),
    ).toEqual([])
  })

  test('is flagged if its reports name two lots', () => {
    const made = event('produced', '2026-10-19T10:00:00Z', { lot: '7' })
    expect(listFlags(deriveKit([made, event('collected', '2026-10-20T10:00:00Z', { lot: '8' })]))).toEqual([
      'product differs',
    ])
    expect(listFlags(deriveKit([made, event('collected', '2026-10-20T10:00:00Z', { lot: '7' })]))).toEqual([])
  })
})
