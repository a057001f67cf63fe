import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { derivedText } from '@/tests/cases/derivedText'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { type SignedIn, signInAs } from '@/tests/setup/signIn'
import { recordAs } from './byHandProgramme'
import { hoursAgo, makeTwoByTwo, WIRE_FACTS } from './oneDoorProgramme'

const { register, kits, nextCode } = makeTwoByTwo(1, 4701)
const findKit = (plant: string, laboratory: string) =>
  kits.find((kit) => kit.plant === plant && kit.laboratory === laboratory)?.code as string
/** The rival's sample that comes to the desk's laboratory, the own one that goes elsewhere, and one that is neither's. */
const [INCOMING, OUTGOING, FOREIGN] = [findKit('PL2', 'LAB'), findKit('PL1', 'LAB2'), findKit('PL2', 'LAB2')]

let database: TestDatabase
let server: TestServer
/** The contact of PL1 who works at the desk of LAB too. */
let both: SignedIn
let plantKey: string

beforeAll(async () => {
  database = await makeTestDatabase()
  await applyRegister(database.app, register, Date.now())
  const seeds = kits.flatMap(({ code, plant, laboratory }) =>
    [
      { kind: 'collected', at: hoursAgo(13 * 24) },
      { kind: 'dispatched', at: hoursAgo(12 * 24), service: 'road', waybill: `W ${plant} ${laboratory}` },
      ...(laboratory === 'LAB2' ? [{ kind: 'received', at: hoursAgo(11 * 24) }] : []),
    ].map((one) => ({ source: 'seed', id: `${code} ${one.kind}`, sample: code, ...one })),
  )
  await acceptEvents(database.app, wire(...seeds), UNRESTRICTED, Date.now())
  server = await startTestServer(database.url)
  both = await signInAs(database, { plants: ['PL1'], laboratories: ['LAB'] })
  const ofPlant = { sides: ['plant' as const], kinds: null, plants: ['PL1'], mayImportHistory: false }
  plantKey = await makeTestKey(database, { ...ofPlant, sources: ['dock'], maySetRegister: false })
})

interface Row {
  result: string
  problem?: { status: number; type: string; errors: { pointer: string }[] }
}
let sent = 0
const post = async (headers: Record<string, string>, source: string, event: Record<string, unknown>) => {
  sent += 1
  const item = { source, id: `e${sent}`, at: hoursAgo(1), facts: WIRE_FACTS[String(event.kind)], ...event }
  const answer = await fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { ...headers, 'content-type': 'application/json' },
    body: JSON.stringify([item]),
  })
  return ((await answer.json()) as { items: Row[] }).items[0] as Row
}
const postAsBoth = (event: Record<string, unknown>) => post(both.headers, `hand ${both.personId}`, event)
const readSamples = async () =>
  (await derivedText(database.owner)).filter((row) => !row.startsWith('unplaced '))

const seed = (code: string, kind: string) => `seed/${code} ${kind}`

/** What the kind and the sample have in common is that no role of theirs fits both. */
const ATTACKS: [string, Record<string, unknown>][] = [
  ...['cancelled', 'collected', 'produced', 'sealed', 'dispatched', 'returned', 'form copy'].map(
    (kind): [string, Record<string, unknown>] => [
      `${kind} of a rival’s sample`,
      { kind, sample: INCOMING, at: hoursAgo(12.5 * 24) },
    ],
  ),
  ...['received', 'conditioned', 'loaded', 'reported', 'rejected'].map(
    (kind): [string, Record<string, unknown>] => [
      `${kind} of an own sample at another’s laboratory`,
      { kind, sample: OUTGOING, at: hoursAgo(11.5 * 24) },
    ],
  ),
  [
    'the rival’s cut put right',
    { kind: 'collected', sample: INCOMING, corrects: seed(INCOMING, 'collected'), at: hoursAgo(15 * 24) },
  ],
  ['the rival’s cut', { kind: 'withdrawn', sample: INCOMING, corrects: seed(INCOMING, 'collected') }],
  ['the rival’s hand-over', { kind: 'withdrawn', sample: INCOMING, corrects: seed(INCOMING, 'dispatched') }],
  [
    'the rival’s hand-over, by a receipt',
    { kind: 'received', sample: INCOMING, corrects: seed(INCOMING, 'dispatched') },
  ],
  [
    'the other laboratory’s receipt',
    { kind: 'withdrawn', sample: OUTGOING, corrects: seed(OUTGOING, 'received') },
  ],
  [
    'the other laboratory’s receipt, by a hand-over',
    { kind: 'dispatched', sample: OUTGOING, corrects: seed(OUTGOING, 'received'), at: hoursAgo(11 * 24) },
  ],
]

describe('a contact of one plant who works at a laboratory’s desk', () => {
  test.each(ATTACKS)('does not report %s', async (_, event) => {
    const before = await readSamples()
    const { result, problem } = await postAsBoth(event)
    expect({ result, status: problem?.status }).toEqual({ result: 'refused', status: 403 })
    expect(problem?.errors.map(({ pointer }) => pointer)).toHaveLength(1)
    expect(await readSamples()).toEqual(before)
  })

  test('is refused the same by hand', async () => {
    const before = await readSamples()
    const statuses = []
    for (const [, { kind, sample, corrects }] of ATTACKS)
      statuses.push(
        kind === 'withdrawn'
          ? (await recordAs(server, both, { sample, event: corrects }, '/api/record/undo')).status
          : (await recordAs(server, both, { kind, sample, corrects, date: '', reason: 'a reason' })).status,
      )
    // A receipt that would correct a hand-over is of another kind than what it corrects, which no form does.
    expect(statuses.filter((status) => status !== 403 && status !== 404)).toEqual([])
    expect(await readSamples()).toEqual(before)
  })

  test.each([
    ['a waybill', { service: 'road', waybill: 'W PL2 LAB' }, 'cancelled'],
    ['a waybill', { service: 'road', waybill: 'W PL1 LAB2' }, 'received'],
    ['a waybill', { service: 'road', waybill: 'W PL1 LAB2' }, 'reported'],
    ['a waybill', { service: 'road', waybill: 'W PL2 LAB2' }, 'received'],
    ['a sample of neither end', { sample: FOREIGN }, 'received'],
    ['a sample of neither end', { sample: FOREIGN }, 'cancelled'],
    ['a kit that nobody has', { sample: nextCode() }, 'cancelled'],
  ])('waits with what they say by %s: %j, %s', async (_, about, kind) => {
    const before = await readSamples()
    expect((await postAsBoth({ kind, ...about })).result).toBe('unplaced')
    expect(await readSamples()).toEqual(before)
  })

  test('takes out nothing of a sample of neither end', async () => {
    const readForeign = async () => (await readSamples()).filter((row) => row.startsWith(`(${FOREIGN},`))
    const before = await readForeign()
    expect(before).toHaveLength(1)
    for (const sample of [FOREIGN, OUTGOING, INCOMING])
      await postAsBoth({ kind: 'withdrawn', sample, corrects: seed(FOREIGN, 'received') })
    expect(await readForeign()).toEqual(before)
  })

  test('reports what is theirs, each at its own end', async () => {
    for (const event of [
      { kind: 'received', sample: INCOMING },
      { kind: 'sealed', sample: OUTGOING },
      { kind: 'withdrawn', sample: OUTGOING, corrects: seed(OUTGOING, 'dispatched') },
    ])
      expect((await postAsBoth(event)).result, JSON.stringify(event)).toBe('accepted')
  })
})

describe('a key of one plant for which no kinds are named', () => {
  test.each(['received', 'conditioned', 'loaded', 'reported', 'extended', 'ruling', 'delivered'])(
    'does not report %s of its own sample, whose limit has passed',
    async (kind) => {
      const before = await readSamples()
      const row = await post({ authorization: `Bearer ${plantKey}` }, 'dock', {
        kind,
        sample: findKit('PL1', 'LAB'),
      })
      expect(row).toMatchObject({ result: 'refused', problem: { errors: [{ pointer: '/kind' }] } })
      expect(await readSamples()).toEqual(before)
    },
  )

  test('does not take out what the laboratory said of its own sample', async () => {
    const before = await readSamples()
    const event = { kind: 'withdrawn', sample: OUTGOING, corrects: seed(OUTGOING, 'received') }
    const row = await post({ authorization: `Bearer ${plantKey}` }, 'dock', event)
    expect(row).toMatchObject({ result: 'refused', problem: { status: 403 } })
    expect(await readSamples()).toEqual(before)
  })
})
