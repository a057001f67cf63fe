import { describe, expect, test } from 'vitest'
import type { CustodyEvent, ReadEvent } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { type Kit, listEntries, Register, toKit } from '@/lib/custody/register'
import { DAY, HOUR } from '@/lib/hold/zone'
import { getPlacingPolicy } from '@/lib/policy/placingPolicy'
import { atPlant, createKeyReporter } from '@/tests/cases/reporters'
import { checkedRegister, KIT, makeKits, OTHER_KIT } from '@/tests/cases/smallProgramme'

const document = checkedRegister()
const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
const [, second = ''] = makeKits(2).map(({ code }) => code)
const own = document.kits.find(({ code }) => code === KIT)
const kits = new Map<string, Kit>(
  [...document.kits, { ...own, code: second } as NonNullable<typeof own>].map((one) => [
    one.code,
    toKit(one),
  ]),
)

const HANDED_OVER = Date.parse('2026-10-05T10:00:00Z')
const NOW = HANDED_OVER + 300 * DAY
const MINE = atPlant('PL1')
const RIVAL = atPlant('PL2')
const CARRIER = createKeyReporter('carrier')

/** An event of the first kit, reported by its plant, that happened and was accepted so long after the hand-over, ms. */
function event(id: string, atMs: number, acceptedMs: number, more: Partial<CustodyEvent> = {}): ReadEvent {
  const at = HANDED_OVER + atMs
  return {
    source: 'any',
    id,
    sample: KIT,
    kind: 'dispatched',
    at: new Date(at).toISOString(),
    zone: null,
    place: null,
    service: 'road',
    waybill: 'W 1',
    product: null,
    lot: null,
    corrects: null,
    facts: null,
    reportedAt: null,
    reporter: MINE,
    acceptedAt: HANDED_OVER + acceptedMs,
    earliestAt: at,
    latestAt: at,
    ...more,
  } as ReadEvent
}

const rivals = (id: string, atMs: number, acceptedMs: number, more: Partial<CustodyEvent> = {}) =>
  event(id, atMs, acceptedMs, { sample: OTHER_KIT, reporter: RIVAL, ...more })
const scan = (atMs: number) =>
  event('scan', atMs, atMs + HOUR, { sample: null, kind: 'delivered', reporter: CARRIER })

/** The kits for which the scan counts, in any order of the events. */
function findScanned(events: readonly ReadEvent[], now = NOW): string[] {
  const find = (some: readonly ReadEvent[]) => {
    const { bySample } = placeEvents(some, (code) => kits.has(code), now, getPlacingPolicy(kits, register))
    return [...bySample]
      .flatMap(([code, placed]) => (placed.some(({ event: { id } }) => id === 'scan') ? code : []))
      .sort()
  }
  const found = find(events)
  expect(find([...events].reverse())).toEqual(found)
  return found
}

describe('a claim on a waybill that another maker’s sample travels under', () => {
  const first = event('first', 0, 0)

  test('waits', () => {
    expect(findScanned([first, rivals('rival', 0, HOUR), scan(DAY)])).toEqual([KIT])
  })
  test('counts once the first is withdrawn', () => {
    const withdrawn = event('w', DAY, DAY, { kind: 'withdrawn', corrects: 'any/first' })
    expect(findScanned([first, rivals('rival', 0, HOUR), withdrawn, scan(DAY)])).toEqual([OTHER_KIT])
  })
  test('still waits when the first is corrected', () => {
    const corrected = event('again', HOUR, DAY, { corrects: 'any/first' })
    expect(findScanned([first, rivals('rival', 0, HOUR), corrected, scan(DAY)])).toEqual([KIT])
  })
  test('still waits when the first is moved to another kit of its maker', () => {
    const moved = event('again', HOUR, DAY, { sample: second, corrects: 'any/first' })
    expect(findScanned([first, rivals('rival', 0, HOUR), moved, scan(DAY)])).toEqual([second])
  })
  test('waits if it was accepted first but dated ahead', () => {
    expect(findScanned([first, rivals('rival', DAY, -HOUR), scan(DAY)])).toEqual([KIT])
  })
  test('waits if a loop brings it back', () => {
    const events = [
      rivals('a', 0, -3 * HOUR, { corrects: 'any/c' }),
      rivals('b', 0, -2 * HOUR, { kind: 'withdrawn', corrects: 'any/a' }),
      first,
      rivals('c', 0, HOUR, { kind: 'withdrawn', corrects: 'any/b' }),
    ]
    expect(findScanned([...events, scan(DAY)])).toEqual([KIT])
  })
  test('waits if it corrects one that was withdrawn before', () => {
    const events = [
      rivals('a', 0, -3 * HOUR),
      rivals('b', 0, -2 * HOUR, { kind: 'withdrawn', corrects: 'any/a' }),
      first,
      rivals('c', 0, HOUR, { corrects: 'any/a' }),
    ]
    expect(findScanned([...events, scan(DAY)])).toEqual([KIT])
  })
  test('waits if it corrects one of another time', () => {
    const events = [rivals('a', -200 * DAY, -3 * HOUR), first, rivals('c', 0, HOUR, { corrects: 'any/a' })]
    expect(findScanned([...events, scan(DAY)])).toEqual([KIT])
  })
  test.each([61, -61])('waits if it is %s days off, where one scan could be of both', (days) => {
    const rival = rivals('rival', days * DAY, HOUR)
    expect(findScanned([first, rival, scan(days > 0 ? 30 * DAY : -30 * DAY)])).toEqual([KIT])
  })
  test('counts when the number is used again, so late that no scan could be of both', () => {
    expect(findScanned([first, rivals('rival', 121 * DAY, HOUR), scan(122 * DAY)])).toEqual([OTHER_KIT])
  })

  describe('once an administrator confirmed it', () => {
    const office = createKeyReporter('programme')
    const confirmed = [
      first,
      rivals('rival', 0, HOUR),
      rivals('confirmed', 0, 2 * HOUR, { corrects: 'any/rival', reporter: office }),
    ]
    const both = [KIT, OTHER_KIT].sort()

    test('counts beside the first, also when either is corrected', () => {
      expect(findScanned([...confirmed, scan(DAY)])).toEqual(both)
      const later = rivals('later', HOUR, DAY, { corrects: 'any/confirmed' })
      expect(findScanned([...confirmed, later, scan(DAY)])).toEqual(both)
      const again = event('again', HOUR, DAY, { corrects: 'any/first' })
      expect(findScanned([...confirmed, again, scan(DAY)])).toEqual(both)
      expect(
        findScanned([...confirmed, later, { ...again, acceptedAt: HANDED_OVER + 2 * DAY }, scan(DAY)]),
      ).toEqual(both)
    })
    test('waits for a claim of another time that a correction would bring it near to', () => {
      const used = event('used again', 200 * DAY, 200 * DAY, { sample: second })
      const moved = rivals('moved', 199 * DAY, 201 * DAY, { corrects: 'any/confirmed' })
      expect(findScanned([...confirmed, used, moved, scan(201 * DAY)])).toEqual([second])
    })
  })
})
