import { generateKitCode } from '@/lib/custody/kitCode'
import { parseRegister } from '@/lib/custody/parseRegister'
import type { Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { type IntakeItem, readEvents } from '@/lib/intake/formats/readEvents'
import { makeRandom } from '@/tests/bench/manyEvents'

const random = makeRandom(77)

/** Kit codes that no other test has. */
export const KIT = generateKitCode(random)
export const OTHER_KIT = generateKitCode(random)
export const UNKNOWN_KIT = generateKitCode(random)

/** A register of two plants, one laboratory and two kits, with whatever is changed. */
export function smallRegister(changes: Record<string, unknown> = {}): Record<string, unknown> {
  return {
    laboratories: [
      {
        code: 'LAB',
        name: 'A laboratory',
        zone: 'America/New_York',
        receiving: { mon: ['08:00-16:00'], tue: ['08:00-16:00'], wed: ['08:00-16:00'], thu: ['08:00-16:00'] },
        closed: [],
      },
    ],
    plants: [
      { code: 'PL1', name: 'A plant', zone: 'Europe/Lisbon' },
      { code: 'PL2', name: 'Another plant', zone: 'Asia/Kolkata' },
    ],
    services: [{ code: 'road', name: 'By road' }],
    protocols: [
      {
        code: 'TEN',
        name: 'Ten days',
        limits: [
          {
            name: 'cut to chamber',
            from: 'collected',
            to: 'loaded',
            amount: 10,
            unit: 'days',
            counting: 'elapsed',
          },
        ],
      },
    ],
    products: [
      { code: 'FELT', plant: 'PL1', name: 'Felt tile', protocol: 'TEN' },
      { code: 'CORK', plant: 'PL2', name: 'Cork underlay', protocol: 'TEN' },
    ],
    kits: [
      {
        code: KIT,
        product: 'FELT',
        plant: 'PL1',
        laboratory: 'LAB',
        service: 'road',
        issuedAt: '2026-09-01T08:00:00Z',
      },
      { code: OTHER_KIT, product: 'CORK', plant: 'PL2', laboratory: 'LAB', issuedAt: '2026-09-01T08:00:00Z' },
    ],
    ...changes,
  }
}

/** The same, checked. */
export function checkedRegister(changes: Record<string, unknown> = {}): RegisterDocument {
  const { document, problems } = parseRegister(smallRegister(changes))
  if (!document) throw new Error(JSON.stringify(problems))
  return document
}

/** So many kits of the first plant, `KIT` the first, for a register. */
export function makeKits(count: number): { code: string; [field: string]: string }[] {
  const [own] = smallRegister().kits as [Record<string, string>]
  const further = makeRandom(78)
  const codes = [KIT, ...Array.from({ length: count - 1 }, () => generateKitCode(further))]
  return codes.map((code) => ({ ...own, code }))
}

/** Reads wire events as the intake route does. */
export function wire(...events: Record<string, unknown>[]): (register: Register) => IntakeItem[] {
  return (register) => readEvents(JSON.stringify(events), 'json', (code) => register.getZone(code))
}
