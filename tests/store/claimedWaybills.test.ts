import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { isCounted } from '@/lib/custody/placing'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { getReporter } from '@/lib/policy/reporting'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { atLaboratory, atPlant, createKeyReporter } from '@/tests/cases/reporters'
import { checkedRegister, KIT, OTHER_KIT, smallRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')

/** The first maker, whose sample travels under W1, and the second, which names the same waybill later. */
const FIRST = atPlant('PL1')
const SECOND = atPlant('PL2')
const LABORATORY = atLaboratory('LAB')
const CARRIER = createKeyReporter('carrier')
const ADMINISTRATOR = getReporter({
  kind: 'person',
  id: 'a1',
  email: '',
  name: '',
  roles: { ...NO_ROLES, isAdministrator: true },
})
const W1 = { service: 'road', waybill: 'W1' }
const UNKNOWN = { service: 'road', waybill: 'W-NOBODY' }

let database: TestDatabase
beforeEach(async () => {
  database ??= await makeTestDatabase()
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW)
  minute = 0
})

const readDerived = async () => [
  ...(await derivedText(database.owner)),
  ...(await listClaims()).map((claim) => `claim ${claim}`),
]

/** When the rows were derived, ms UTC. */
let derivedAt = NOW
/** What was derived step by step is what the ledgers say. */
afterEach(async () => {
  const derived = await readDerived()
  await rebuild(database.app, derivedAt)
  derivedAt = NOW
  expect(await readDerived()).toEqual(derived)
})

/** Minutes between acceptances. */
let minute = 0
const accept = async (reporting: NamedReporter, key: string, kind: string, more: Record<string, unknown>) => {
  minute += 1
  const [source, id] = key.split('/')
  const event = { source, id, kind, at: '2026-10-19T10:00:00Z', ...more }
  const [result] = await acceptEvents(database.app, wire(event), reporting, NOW + minute * 60_000)
  return result?.acceptance
}
const listWaiting = async (isClaim: boolean) =>
  (
    await database.owner.query<{ key: string }>(
      `select e.source || '/' || e.id as key from unplaced u join event e on e.seq = u.event_seq
       where u.is_claim = $1 order by 1`,
      [isClaim],
    )
  ).rows.map(({ key }) => key)
const listClaims = () => listWaiting(true)

const contact = (plant: string): Scope => ({ plants: [plant], laboratories: [] })
/** What the page of a sample shows of its events, and which of them count. */
const readPage = async (plant: string, code: string) => {
  const dossier = await getSampleDossier(database.app, contact(plant), code, NOW)
  return {
    stage: dossier?.row.stage,
    events: dossier?.sample.events
      .filter(isCounted)
      .map(({ event }) => event.id)
      .sort(),
  }
}
const stage = async (code: string) =>
  (await database.owner.query<{ stage: string | null }>('select stage from sample where code = $1', [code]))
    .rows[0]?.stage

/** The first maker hands over under W1; the carrier scans and delivers it, and the laboratory receives it by its waybill. */
const travel = async () => {
  await accept(FIRST, 'first/sent', 'dispatched', { sample: KIT, ...W1 })
  await accept(CARRIER, 'carrier/scan', 'scanned', W1)
}
const arrive = async () => {
  await accept(CARRIER, 'carrier/there', 'delivered', W1)
  await accept(LABORATORY, 'lab/in', 'received', W1)
}
const claim = (more: Record<string, unknown> = {}) =>
  accept(SECOND, 'second/sent', 'dispatched', { sample: OTHER_KIT, ...W1, ...more })

describe('a plant that names a waybill under which another maker’s sample travels', () => {
  test('is answered as for a waybill that nobody named, and waits for an administrator', async () => {
    await travel()
    expect(await claim()).toBe('accepted')
    expect(await listClaims()).toEqual(['second/sent'])
    expect(await listWaiting(false)).toEqual([])
  })

  test.each([
    ['before', async () => [await travel(), await arrive(), await claim()]],
    ['between', async () => [await travel(), await claim(), await arrive()]],
  ])('sees on its page what an unknown waybill shows, where the first’s events came %s', async (_, play) => {
    await play()
    const claimed = await readPage('PL2', OTHER_KIT)
    const first = await readPage('PL1', KIT)
    await clearLedger(database.owner)
    await applyRegister(database.app, checkedRegister(), NOW)
    await accept(SECOND, 'second/sent', 'dispatched', { sample: OTHER_KIT, ...UNKNOWN })
    expect(claimed).toEqual(await readPage('PL2', OTHER_KIT))
    expect(claimed).toEqual({ stage: 'dispatched', events: ['sent'] })
    expect(first).toEqual({ stage: 'received', events: expect.arrayContaining(['scan', 'there', 'in']) })
  })

  test('is answered the same of what it says by the waybill as of one that nobody else named', async () => {
    await travel()
    await claim()
    const back = await accept(SECOND, 'second/back', 'returned', W1)
    await accept(SECOND, 'second/sent elsewhere', 'dispatched', { sample: OTHER_KIT, ...UNKNOWN })
    expect(back).toBe(await accept(SECOND, 'second/back elsewhere', 'returned', UNKNOWN))
    expect(back).toBe('accepted')
  })

  test('speaks by the waybill of its own sample only', async () => {
    await travel()
    await claim()
    await accept(SECOND, 'second/back', 'returned', W1)
    expect((await readPage('PL2', OTHER_KIT)).events).toEqual(['back', 'sent'])
    expect((await readPage('PL1', KIT)).events).toEqual(['scan', 'sent'])
    await accept(FIRST, 'first/back', 'returned', W1)
    expect((await readPage('PL2', OTHER_KIT)).events).toEqual(['back', 'sent'])
    expect((await readPage('PL1', KIT)).events).toEqual(['back', 'scan', 'sent'])
  })

  test('keeps all that it said by the waybill before', async () => {
    await travel()
    await claim()
    await accept(SECOND, 'second/back', 'returned', W1)
    await accept(SECOND, 'second/back again', 'returned', W1)
    expect((await readPage('PL2', OTHER_KIT)).events).toEqual(['back', 'back again', 'sent'])
  })

  test('sees nothing of it either after an event by another waybill of its own', async () => {
    await travel()
    await claim()
    await arrive()
    await accept(SECOND, 'second/sent elsewhere', 'dispatched', { sample: OTHER_KIT, ...UNKNOWN })
    await accept(CARRIER, 'carrier/elsewhere', 'scanned', UNKNOWN)
    expect(await stage(OTHER_KIT)).toBe('dispatched')
    expect(await listClaims()).toEqual(['second/sent'])
  })

  test('cannot take out the first’s hand-over to stand in its place', async () => {
    await travel()
    await claim()
    await accept(SECOND, 'second/out', 'withdrawn', { sample: OTHER_KIT, corrects: 'first/sent' })
    await accept(SECOND, 'second/scan out', 'withdrawn', { ...W1, corrects: 'carrier/scan' })
    expect(await listClaims()).toEqual(['second/sent'])
    expect((await readPage('PL1', KIT)).events).toEqual(['scan', 'sent'])
  })

  test('stands once the first’s hand-over is taken back', async () => {
    await travel()
    await claim()
    await accept(FIRST, 'first/undo', 'withdrawn', { sample: KIT, corrects: 'first/sent' })
    await arrive()
    expect(await listClaims()).toEqual([])
    expect(await stage(OTHER_KIT)).toBe('received')
    expect(await stage(KIT)).toBeNull()
  })

  test('stands again when the first’s hand-over is taken back after the receipt', async () => {
    await travel()
    await claim()
    await arrive()
    expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'dispatched'])
    await accept(FIRST, 'first/undo', 'withdrawn', { sample: KIT, corrects: 'first/sent' })
    expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual([null, 'received'])
    expect(await listClaims()).toEqual([])
  })

  test('stands beside the first once an administrator reports its hand-over again', async () => {
    await travel()
    await claim()
    await accept(ADMINISTRATOR, 'office/sent', 'dispatched', {
      sample: OTHER_KIT,
      ...W1,
      corrects: 'second/sent',
    })
    expect(await listClaims()).toEqual([])
    await arrive()
    expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'received'])
  })

  test('waits no more once it names another waybill', async () => {
    await travel()
    await claim()
    await accept(SECOND, 'second/right', 'dispatched', {
      sample: OTHER_KIT,
      ...UNKNOWN,
      corrects: 'second/sent',
    })
    expect(await listClaims()).toEqual([])
    await arrive()
    expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'dispatched'])
  })

  test.each([
    ['after', '2026-12-19T10:00:01Z', Date.parse('2026-12-20T00:00:00Z')],
    ['before', '2026-08-20T09:59:59Z', NOW],
  ])('gains nothing by a hand-over dated more than sixty days %s the first’s', async (_, at, now) => {
    await travel()
    await accept(CARRIER, 'carrier/later', 'scanned', { ...W1, at: '2026-10-20T10:00:00Z' })
    // A scan in the days before the hand-over: labels are made early.
    await accept(CARRIER, 'carrier/early', 'scanned', { ...W1, at: '2026-10-18T10:00:00Z' })
    await acceptEvents(
      database.app,
      wire({ source: 'second', id: 'sent', kind: 'dispatched', sample: OTHER_KIT, at, ...W1 }),
      SECOND,
      now + 3_600_000,
    )
    const dossier = await getSampleDossier(database.app, contact('PL2'), OTHER_KIT, now + 7_200_000)
    expect(dossier?.sample.events.map(({ event }) => event.id)).toEqual(['sent'])
    derivedAt = now + 3_600_000
  })
})

test('a claim that was accepted first stands when another was written down later, but accepted earlier', async () => {
  // Two servers whose clocks differ: the second to be written was accepted at an earlier instant.
  const sent = (source: string, sample: string) =>
    wire({ source, id: 'sent', kind: 'dispatched', sample, at: '2026-10-19T10:00:00Z', ...W1 })
  await acceptEvents(database.app, sent('first', KIT), FIRST, NOW)
  await accept(CARRIER, 'carrier/scan', 'scanned', W1)
  await acceptEvents(database.app, sent('second', OTHER_KIT), SECOND, NOW - 1_000)
})

test('plants of one maker share a waybill freely', async () => {
  const plants = (smallRegister().plants as Record<string, string>[]).map((plant) => ({
    ...plant,
    maker: 'M',
  }))
  await applyRegister(database.app, checkedRegister({ plants }), NOW)
  await travel()
  await claim()
  await arrive()
  expect(await listClaims()).toEqual([])
  expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'received'])
})

test('plants that turn out to be of one maker share it from then on, and no longer once they part', async () => {
  await travel()
  await claim()
  await arrive()
  const plants = (smallRegister().plants as Record<string, string>[]).map((plant) => ({
    ...plant,
    maker: 'M',
  }))
  await applyRegister(database.app, checkedRegister({ plants }), NOW)
  expect([await stage(KIT), await stage(OTHER_KIT), await listClaims()]).toEqual(['received', 'received', []])
  await applyRegister(database.app, checkedRegister(), NOW + 1_000)
  expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'dispatched'])
  expect(await listClaims()).toEqual(['second/sent'])
})

test('someone who hands over for both makers puts both under one waybill', async () => {
  const both = { ...FIRST, by: 'key of both', plants: ['PL1', 'PL2'] }
  await travel()
  await accept(both, 'second/sent', 'dispatched', { sample: OTHER_KIT, ...W1 })
  await arrive()
  expect(await listClaims()).toEqual([])
  expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'received'])
})

test('files claim as before: samples of two makers travel under one waybill', async () => {
  await accept(UNRESTRICTED, 'file/one', 'dispatched', { sample: KIT, ...W1 })
  await accept(UNRESTRICTED, 'file/two', 'dispatched', { sample: OTHER_KIT, ...W1 })
  await arrive()
  expect(await listClaims()).toEqual([])
  expect([await stage(KIT), await stage(OTHER_KIT)]).toEqual(['received', 'received'])
})
