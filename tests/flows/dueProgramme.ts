import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '@/tests/bench/manyEvents'
import { checkedRegister, wire } from '@/tests/cases/smallProgramme'
import type { TestDatabase } from '@/tests/setup/database'

const random = makeRandom(4711)

/** Two makers' kits, each left six days ago without a copy of its form, and one of each lost. */
export const DUE_KITS = {
  own: generateKitCode(random),
  ownLost: generateKitCode(random),
  foreign: generateKitCode(random),
  foreignLost: generateKitCode(random),
}

/** Words that only the other maker's samples say. */
export const FOREIGN = ['PL2', 'Plant of the other maker', 'Otherwise secret underlay', 'CORK']

const day = (now: number, days: number) => new Date(now + days * 86_400_000).toISOString()

/**
 * Fills a database with two makers' programmes, each with a duty whose report is due in fifty days. `spares` are codes
 * of spare kits at the first plant, issued in time to count for a test.
 */
export async function addDueSamples(
  { app }: Pick<TestDatabase, 'app'>,
  now: number,
  spares: readonly string[] = [],
): Promise<void> {
  const work = { windowDays: 60, kitDays: 4, loadDays: 2, testDays: 14, reportDays: 5, laboratory: 'LAB' }
  const first = day(now, 50).slice(0, 10)
  const register = checkedRegister({
    plants: [
      { code: 'PL1', name: 'A plant, with; a comma', zone: 'Europe/Lisbon' },
      { code: 'PL2', name: FOREIGN[1], zone: 'Asia/Kolkata' },
      { code: 'PL3', name: 'A plant of which nothing is owed', zone: 'UTC' },
      { code: 'PL4', name: 'A plant of which nothing is due yet', zone: 'UTC' },
    ],
    products: [
      { code: 'FELT', plant: 'PL1', name: 'Felt tile', protocol: 'TEN' },
      { code: 'CORK', plant: 'PL2', name: FOREIGN[2], protocol: 'TEN' },
      { code: 'FOAM', plant: 'PL4', name: 'Roll foam', protocol: 'TEN' },
    ],
    duties: [
      { code: 'FELT yearly', product: 'FELT', first, everyMonths: 12, ...work },
      { code: 'CORK yearly', product: 'CORK', first, everyMonths: 12, ...work },
      { code: 'FOAM once', product: 'FOAM', first: day(now, 900).slice(0, 10), ...work },
    ],
    kits: [
      ...Object.entries(DUE_KITS).map(([name, code]) => ({
        code,
        product: name.startsWith('own') ? 'FELT' : 'CORK',
        plant: name.startsWith('own') ? 'PL1' : 'PL2',
        laboratory: 'LAB',
        service: 'road',
        issuedAt: day(now, -70),
      })),
      ...spares.map((code) => ({ code, plant: 'PL1', laboratory: 'LAB', issuedAt: day(now, -5) })),
    ],
  })
  await applyRegister(app, register, now)
  const events = Object.entries(DUE_KITS).flatMap(([name, sample]) => {
    const of = { source: `dock of ${name}`, sample }
    return [
      { ...of, id: 'cut', kind: 'collected', at: day(now, -6.5) },
      { ...of, id: 'sent', kind: 'dispatched', at: day(now, -6), service: 'road', waybill: `WAY${name}` },
      ...(name.endsWith('Lost') ? [{ ...of, id: 'lost', kind: 'lost', at: day(now, -1) }] : []),
    ]
  })
  await acceptEvents(app, wire(...events), UNRESTRICTED, now)
}
