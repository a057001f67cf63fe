import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, formatIsoDate } from '@/lib/hold/zone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type ServedProgramme, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { KITS, send, smallEvents, smallKits } from './pagesProgramme'

/**
 * Every character with the property Bidi_Control: Unicode Standard Annex #9, "Unicode Bidirectional Algorithm", tables 1
 * to 3 of section 2.
 */
export const BIDI_CONTROLS = [
  ...'\u061c\u200e\u200f',
  ...'\u202a\u202b\u202c\u202d\u202e',
  ...'\u2066\u2067\u2068\u2069',
]

const random = makeRandom(202)
const SPARE = generateKitCode(random)
const UNKNOWN = generateKitCode(random)

/** A text of someone out to show another: it has every one of them. */
export const deceive = (word: string) => `${word}${BIDI_CONTROLS.join('')}0001 tol`

export interface BidiProgramme extends ServedProgramme {
  readers: Record<'administrator' | 'contact' | 'desk', SignedIn>
  register: Record<string, unknown>
}

/** The small programme, in which every text that someone can type has all control characters. */
export async function startBidiProgramme(): Promise<BidiProgramme> {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  const readers = {
    administrator: await signInAs(database, ADMINISTRATOR),
    contact: await signInAs(database, { plants: ['PL1'] }),
    desk: await signInAs(database, { laboratories: ['LAB'] }),
  }
  await database.authPool.query('update person set name = $1', [deceive('person')])
  const server = { ...started, database, administrator: readers.administrator }
  const now = Date.now()
  const register = deceiveRegister(now)
  await send(server, 'PUT', '/api/register', register)
  await send(server, 'POST', '/api/events', [...smallEvents(now), ...deceivingEvents(now)])
  await makeTestKey(database, { name: deceive('key'), sources: [deceive('source')] })
  await database.owner.query(
    `insert into snooze (subject, plant, laboratory, until_at, reason, made_by, made_at)
     select subject, 'PL1', 'LAB', now() + interval '9 days', $1, $2, now()
     from unnest($3::text[]) as subject`,
    [deceive('reason'), deceive('person'), [`lapsed/${KITS.lapsed}`, `replace/${KITS.lapsed}`]],
  )
  return { ...server, readers, register }
}

function deceiveRegister(now: number): Record<string, unknown> {
  const small = smallRegister() as Record<string, Record<string, unknown>[]>
  const day = (days: number) => formatIsoDate(Math.floor(now / DAY) + days)
  const named = (list: string): Record<string, unknown>[] =>
    (small[list] ?? []).map((one) => ({ ...one, name: deceive(`${list} name`) }))
  const [protocol = {}] = named('protocols')
  const limits = (protocol.limits as object[]).map((one) => ({
    ...one,
    name: deceive('limit'),
    citation: deceive('source'),
  }))
  const holidays = [{ name: deceive('holiday'), on: 'date', month: 12, day: 25 }]
  const acts = { windowDays: 80, kitDays: 2, loadDays: 1, testDays: 3, reportDays: 2 }
  return {
    ...small,
    laboratories: named('laboratories').map((one) => ({ ...one, holidays })),
    plants: named('plants').map((one) => ({ ...one, maker: deceive('maker') })),
    services: [...named('services'), { code: deceive('service'), name: deceive('service name') }],
    protocols: [
      { ...protocol, limits },
      { ...protocol, code: deceive('protocol'), limits },
    ],
    products: [
      ...named('products'),
      { code: deceive('product'), plant: 'PL1', name: deceive('name'), protocol: deceive('protocol') },
    ],
    families: [{ code: deceive('family'), name: deceive('family name'), members: ['FELT'], tested: 'FELT' }],
    certificates: [{ code: deceive('certificate'), product: 'FELT', issued: day(-300), expires: day(40) }],
    duties: [
      { code: deceive('duty'), product: 'FELT', laboratory: 'LAB', first: day(20), everyMonths: 3, ...acts },
    ],
    shutdowns: [{ plant: 'PL1', from: day(5), to: day(6), reason: deceive('shutdown') }],
    kits: [
      ...smallKits(now).map((kit) => ({ ...kit, service: 'road' })),
      { ...smallKits(now)[0], code: SPARE, product: deceive('product') },
    ],
  }
}

function deceivingEvents(now: number) {
  const event = (id: string, sample: string, kind: string, daysAgo: number, more: object = {}) => ({
    ...{ source: deceive('source'), id: deceive(id), sample, kind },
    at: new Date(now - daysAgo * DAY).toISOString(),
    ...more,
  })
  const sent = { service: deceive('service'), waybill: deceive('waybill') }
  const facts = { [deceive('fact')]: deceive('value'), note: deceive('note') }
  const cut = { lot: deceive('lot'), facts }
  return [
    event('1', KITS.tight, 'collected', 7, cut),
    event('2', KITS.tight, 'dispatched', 6, sent),
    event('3', KITS.atRisk, 'dispatched', 3, { ...sent, facts }),
    event('4', KITS.atRisk, 'delivered', 1, { facts }),
    event('5', KITS.lapsed, 'deviation', 1, { facts: { what: deceive('deviation') } }),
    event('6', KITS.sound, 'cancelled', 0.1, { facts: { reason: deceive('reason') } }),
    event('7', KITS.sound, 'collected', 1, { ...cut, product: deceive('named') }),
    event('8', SPARE, 'collected', 2, cut),
    event('9', KITS.tight, 'withdrawn', 0.1, { corrects: `${deceive('source')}/${deceive('2')}`, facts }),
    event('10', KITS.tight, 'dispatched', 6, sent),
    {
      ...event('11', '', 'scanned', 1, { service: deceive('service'), waybill: deceive('other'), facts }),
      sample: undefined,
    },
    event('12', UNKNOWN, 'scanned', 1, { facts }),
  ]
}
