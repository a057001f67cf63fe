import { generateKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { MILESTONES } from '@/lib/hold/milestone'
import { DAY, HOUR } from '@/lib/hold/zone'

/** Park and Miller's minimal standard generator: a seeded sequence in [0, 1). */
export function makeRandom(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1
  return () => {
    state = (state * 48_271) % 2_147_483_647
    return (state - 1) / 2_147_483_646
  }
}

const EVENTS_PER_SAMPLE = 8

/** A register of one plant and one laboratory, with `samples` kits. */
export function makeManyKits(samples: number, seed: number): RegisterDocument & { kits: { code: string }[] } {
  const random = makeRandom(seed)
  const codes = new Set<string>()
  while (codes.size < samples) codes.add(generateKitCode(random))
  const week = Object.fromEntries(['mon', 'tue', 'wed', 'thu', 'fri'].map((day) => [day, ['08:00-16:30']]))
  return {
    laboratories: [
      { code: 'LB1', name: 'Bench laboratory', zone: 'America/New_York', receiving: week, closed: [] },
    ],
    plants: [{ code: 'PB1', name: 'Bench plant', zone: 'Europe/Lisbon' }],
    services: [{ code: 'road', name: 'Road' }],
    protocols: [
      {
        code: 'B',
        name: 'Bench protocol',
        limits: [
          { name: 'cut to carrier', from: 'collected', to: 'dispatched', amount: 24, unit: 'hours' },
          {
            name: 'cut to chamber',
            from: 'collected',
            to: 'loaded',
            amount: 10,
            unit: 'days',
            counting: 'calendar',
          },
          { name: 'dock to chamber', from: 'received', to: 'loaded', amount: 3, unit: 'working days' },
        ],
      },
    ],
    pickups: [],
    families: [],
    certificates: [],
    duties: [],
    shutdowns: [],
    products: [{ code: 'XB1', plant: 'PB1', name: 'Bench product', protocol: 'B' }],
    kits: [...codes].map((code) => ({
      code,
      product: 'XB1',
      plant: 'PB1',
      laboratory: 'LB1',
      service: 'road',
      issuedAt: '2026-01-01T12:00:00Z',
    })),
  }
}

/** `count` wire events of these kits, one milestone after another; sources and ids begin with `prefix`. */
export function makeManyEvents(
  codes: readonly string[],
  count: number,
  prefix: string,
): Record<string, string>[] {
  return Array.from({ length: count }, (_, n) => {
    const sample = codes[Math.floor(n / EVENTS_PER_SAMPLE) % codes.length] as string
    const milestone = MILESTONES[n % EVENTS_PER_SAMPLE] as string
    const at =
      Date.UTC(2026, 1, 1) +
      Math.floor(n / EVENTS_PER_SAMPLE) * 60_000 +
      (n % EVENTS_PER_SAMPLE) * (DAY - HOUR)
    const carried: Record<string, string> =
      milestone === 'dispatched' ? { service: 'road', waybill: `${prefix}${n}` } : {}
    return {
      source: `${prefix} desk`,
      id: `${prefix}-${n}`,
      sample,
      kind: milestone,
      at: new Date(at).toISOString(),
      place: n % EVENTS_PER_SAMPLE < 4 ? 'PB1' : 'LB1',
      ...carried,
    }
  })
}
