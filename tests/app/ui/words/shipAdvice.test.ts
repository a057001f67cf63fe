import { describe, expect, test } from 'vitest'
import { formatPerHundred } from '@/app/ui/words/chance'
import {
  formatChanceBasis,
  formatCutTime,
  formatMissedPickup,
  formatNearDay,
  formatShipAdvice,
  formatShipLine,
  formatShipReasons,
  type ShipTextContext,
} from '@/app/ui/words/shipAdvice'
import { toLocalDay } from '@/lib/hold/zone'
import { adviseShipping } from '@/lib/lane/ship/shipAdvice'
import type { ShipWindow } from '@/lib/lane/ship/shipWindow'
import { english } from '@/lib/messages/english'

const ZONE = 'Europe/Lisbon'
// Friday, 30 October 2026, 13:00 in Lisbon.
const NOW = Date.parse('2026-10-30T13:00:00Z')
const at = (text: string) => Date.parse(text)
const NAMES: Record<string, string> = { road: 'Road freight', air: 'Air express' }
const serviceName = (code: string | null) => (code === null ? null : (NAMES[code] ?? code))

/** Cut at 9:00 and handed over at 16:30 of a day, or now where that is past. */
function window(date: string, chance: number | null, parts: Partial<ShipWindow> = {}): ShipWindow {
  const handOverAt = at(`${date}T16:30:00Z`)
  const cutAt = Math.max(NOW, at(`${date}T09:00:00Z`))
  const binding =
    chance === null
      ? null
      : { limit: 'cut to chamber', dueAt: handOverAt, chance, low: chance - 0.04, high: chance + 0.02 }
  const handOver = { cutAt, handOverAt, chance, binding, limits: binding ? [binding] : [] }
  return {
    ...handOver,
    day: toLocalDay(handOverAt, ZONE),
    service: 'road',
    isPickupKnown: true,
    missed: handOver,
    ...parts,
  }
}

function subject(
  windows: ShipWindow[],
  parts: Partial<ShipTextContext> & { lastSafe?: ShipWindow } = {},
): ShipTextContext {
  const best = windows
    .filter(({ chance }) => chance !== null)
    .reduce<ShipWindow | null>((a, b) => (a && (a.chance ?? 0) >= (b.chance ?? 0) ? a : b), null)
  const { lastSafe = null, ...rest } = parts
  const advice = adviseShipping({ zone: ZONE, windows, best, lastSafe }, 0.05, toLocalDay(NOW, ZONE))
  return { advice, zone: ZONE, now: NOW, isCut: false, serviceName, ...rest }
}

describe('the text of a ship window', () => {
  test('say the day to cut and the one not to', () => {
    const windows = [window('2026-10-30', 0.7), window('2026-11-02', 0.97), window('2026-11-05', 0.62)]
    expect(formatShipAdvice(english, subject(windows))).toBe(
      'Cut Monday morning, not Thursday. Hand it over by 16:30 that day, with Road freight.',
    )
    expect(formatShipLine(english, subject(windows))).toBe('cut Monday morning, not Thursday')
    expect(formatShipReasons(english, subject(windows)).slice(0, 2)).toEqual([
      'Handed over Mon 2 Nov 16:30 with Road freight, 97 of 100 samples arrive in time (90\u00a0% interval: 93 to 99).',
      'Handed over Thu 5 Nov 16:30 with Road freight, only 62 do.',
    ])
  })

  test('name the service to avoid if only that is not safe', () => {
    const windows = [window('2026-10-30', 0.97), window('2026-10-30', 0.4, { service: 'air' })]
    expect(formatShipAdvice(english, subject(windows))).toBe(
      'Cut now. Hand it over by 16:30 today, with Road freight, not with Air express.',
    )
  })

  test('avoid nothing if every day is safe', () => {
    const found = subject([window('2026-10-31', 0.98), window('2026-11-02', 0.97)])
    expect(formatShipAdvice(english, found)).toBe(
      'Cut tomorrow morning. Hand it over by 16:30 tomorrow, with Road freight.',
    )
    expect(formatShipReasons(english, found).at(-1)).toBe(
      'Every day with a pickup in the next two weeks has a safe one.',
    )
  })

  test('say that no day is safe, and give the best', () => {
    const windows = [window('2026-10-31', 0.8), window('2026-11-09', 0.9)]
    expect(formatShipAdvice(english, subject(windows))).toBe(
      'No day is safe. The best is to cut on the morning of Monday 9 November. Hand it over by 16:30 that day, with Road freight.',
    )
    expect(formatShipLine(english, subject(windows))).toBe('')
  })

  test('give a sample that is cut only its time to hand over', () => {
    const cutAt = at('2026-10-29T09:00:00Z')
    const windows = [window('2026-10-30', 0.99, { cutAt }), window('2026-11-02', 0.96, { cutAt })]
    const later = window('2026-11-03', 0.5, { cutAt })
    expect(
      formatShipAdvice(
        english,
        subject([...windows, later], { isCut: true, lastSafe: windows[1] as ShipWindow }),
      ),
    ).toBe('Hand over by 16:30 Monday, with Road freight.')
    expect(formatShipAdvice(english, subject([later], { isCut: true }))).toBe(
      'No pickup is safe any more. The best left is by 16:30 Tuesday, with Road freight.',
    )
    expect(formatShipAdvice(english, subject(windows, { isCut: true }))).toBe(
      'Hand over by 16:30 today, with Road freight. Any later pickup in the next two weeks is safe, too.',
    )
  })

  test('give no number without data, and no advice without a pickup', () => {
    const found = subject([window('2026-10-31', null)])
    expect(formatShipAdvice(english, found)).toBe(
      'There is no data yet to estimate a chance from. The next pickup is at 16:30 tomorrow.',
    )
    expect(formatShipReasons(english, found)).toEqual([])
    expect(formatShipAdvice(english, subject([]))).toBe('No pickup is known in the next two weeks.')
  })

  test('say what a missed pickup does', () => {
    const monday = window('2026-11-02', 0.97)
    const missed = { ...monday, handOverAt: at('2026-11-03T16:30:00Z'), chance: 0.81 }
    const due = (dueAt: number) => ({ ...(monday.binding as NonNullable<typeof monday.binding>), dueAt })
    const advise = (dueAt: number) =>
      formatMissedPickup(
        english,
        { ...monday, missed: { ...missed, binding: due(dueAt) } },
        subject([monday]),
      )
    expect(advise(at('2026-11-12T16:30:00Z'))).toBe(
      'Cut Monday but picked up only Tuesday by Road freight: 81 of 100 instead of 97.',
    )
    expect(advise(at('2026-11-03T15:00:00Z'))).toBe(
      'Cut Monday but picked up only Tuesday by Road freight: too late. The limit “cut to chamber” ends Tue 3 Nov 15:00, before the carrier comes.',
    )
  })

  test('name days and parts of days at the plant, across the change of its clocks', () => {
    const day = toLocalDay(NOW, ZONE)
    expect([0, 1, 3, 7].map((ahead) => formatNearDay(english, day + ahead, ZONE, NOW))).toEqual([
      'today',
      'tomorrow',
      'Monday',
      'Friday 6 November',
    ])
    expect(formatCutTime(english, at('2026-10-30T15:00:00Z'), ZONE, NOW)).toBe('this afternoon')
    // 11:30 in Lisbon is 6:30 in New York.
    expect(formatCutTime(english, at('2026-11-02T11:30:00Z'), ZONE, NOW)).toBe('Monday morning')
    expect(formatCutTime(english, at('2026-11-02T11:30:00Z'), 'Asia/Kolkata', NOW)).toBe('Monday evening')
  })

  test('never round a chance up to certainty', () => {
    expect([0, 0.004, 0.968, 0.996, 1].map((one) => formatPerHundred(english, one))).toEqual([
      '0',
      'under 1',
      '97',
      'over 99',
      '100',
    ])
  })

  test('name the shipments behind the chances', () => {
    const basis = [
      { service: 'road', arrived: 41 },
      { service: 'air', arrived: 0 },
    ]
    expect(formatChanceBasis(english, { basis }, serviceName)).toBe(
      'The chances rest on 41 shipments with Road freight from this plant. No shipment from this plant with Air express has arrived yet, so its chance is that of other plants, where they have shipped.',
    )
  })
})
