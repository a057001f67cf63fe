import { generateKitCode } from '@/lib/custody/kitCode'
import { KIT, makeKits, smallRegister } from '@/tests/cases/smallProgramme'

/** A body made to exhaust a server. */
export interface HostileBody {
  name: string
  method: 'POST' | 'PUT'
  path: string
  type: string
  body: Buffer
}

/** So few for a body that a key reports nearly as much of each as it may. */
const KITS_OF_BODY = 14
export const ATTACKED_KITS = makeKits(2 * KITS_OF_BODY)

const MIB = 1024 * 1024
const JSON_TYPE = 'application/json'

const events = (name: string, type: string, text: string): HostileBody => ({
  name,
  method: 'POST',
  path: '/api/events',
  type,
  body: Buffer.from(text),
})

const register = (name: string, text: string): HostileBody => ({
  name,
  method: 'PUT',
  path: '/api/register',
  type: JSON_TYPE,
  body: Buffer.from(text),
})

/** Names the kits of one of two bodies in turn. */
const nameAttacked = (body: 0 | 1) => (n: number) =>
  ATTACKED_KITS[body * KITS_OF_BODY + (n % KITS_OF_BODY)]?.code as string

/** As many valid events as one body may have, each for the kit that `kit` names. `facts` are added to each. */
function valid(name: string, kit: (n: number) => string, facts = ''): string {
  const lines = Array.from(
    { length: 20_000 },
    (_, n) =>
      `{"source":"desk","id":"${name} ${n}","sample":"${kit(n)}","kind":"scanned","at":"2026-10-19T10:00:00Z"${facts}}`,
  )
  return lines.join('\n')
}

/** A table of `rows` rows and `columns` columns, header first. */
function table(rows: number, columns: number): string {
  const header = ['id', ...Array.from({ length: columns - 1 }, (_, n) => `c${n}`)].join(',')
  const row = Array.from({ length: columns }, () => '1').join(',')
  return [header, ...Array.from({ length: rows }, () => row)].join('\n')
}

/** A list of `count` times the same item. */
const list = (count: number, item: string) => `[${`${item},`.repeat(count - 1)}${item}]`

function* randomNumbers(): Generator<number> {
  for (let n = 1; ; n = (n * 48_271) % 2_147_483_647) yield n / 2_147_483_647
}

function kitCodes(count: number): string[] {
  const numbers = randomNumbers()
  return Array.from({ length: count }, () => generateKitCode(() => numbers.next().value as number))
}

/** The worst bodies that were found, and others like them. */
export function makeHostileBodies(): HostileBody[] {
  const codes = kitCodes(20_000)
  return [
    events('a million lines of one letter', 'application/x-ndjson', 'a\n'.repeat(1_000_000)),
    events('a million rows of one letter', 'text/csv', `id\n${'a\n'.repeat(1_000_000)}`),
    events('100,000 columns and 100 rows', 'text/csv', table(100, 100_000)),
    events('35,000 columns and 100 rows', 'text/csv', table(100, 35_000)),
    events('8 MB of blank lines', 'text/csv', `id\n${'\n'.repeat(8_000_000)}`),
    events('8 MB of quotes', 'text/csv', `id\n${'"'.repeat(8_000_000)}`),
    events('8 MB of open quotes', 'text/csv', `id\n${'"a\n'.repeat(2_700_000)}`),
    events('60 MB of brackets', JSON_TYPE, '['.repeat(60_000_000)),
    events('8 MB of brackets', JSON_TYPE, '['.repeat(8_000_000)),
    events('8 MB of blank lines for events', 'application/x-ndjson', '\n'.repeat(8_000_000)),
    events('a list of a million zeros', JSON_TYPE, list(1_000_000, '0')),
    events('50,000 empty objects', JSON_TYPE, list(50_000, '{}')),
    events('20,000 empty objects', JSON_TYPE, list(20_000, '{}')),
    events('one event of 8 MB', JSON_TYPE, `[{"facts":${list(4_000_000, '7')}}]`),
    events('one name of 8 MB', JSON_TYPE, `[{"${'n'.repeat(7_000_000)}":1}]`),
    events(
      '20,000 events of unknown kits',
      'application/x-ndjson',
      valid('unknown', (n) => codes[n] as string),
    ),
    events(
      '20,000 events of one kit',
      'application/x-ndjson',
      valid('one', () => KIT),
    ),
    events('20,000 events of few kits', 'application/x-ndjson', valid('few', nameAttacked(0))),
    events(
      '20,000 events with 7 MB of facts',
      'application/x-ndjson',
      valid('facts', nameAttacked(1), `,${Array.from({ length: 20 }, (_, n) => `"f${n}":[[1]]`).join(',')}`),
    ),
    register('50,000 empty kits', `{"kits":${list(50_000, '{}')}}`),
    register('a million kits of zero', `{"kits":${list(1_000_000, '0')}}`),
    register('30,000 empty laboratories', `{"laboratories":${list(30_000, '{}')}}`),
    register(
      '60,000 kits of an unknown plant',
      JSON.stringify(
        smallRegister({
          plants: [],
          kits: Array.from({ length: 60_000 }, (_, n) => ({
            code: codes[n % codes.length],
            plant: `P${n}`,
            laboratory: `L${n}`,
            issuedAt: '2026-09-01T08:00:00Z',
          })),
        }),
      ),
    ),
    register('60 MB of brackets', '['.repeat(60 * MIB)),
  ]
}
