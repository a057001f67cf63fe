import { afterEach, beforeEach, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { atLaboratory, atPlant } from '@/tests/cases/reporters'
import { checkedRegister, KIT, OTHER_KIT, UNKNOWN_KIT, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const PLANT = atPlant('PL1', 'key 1')
const LABORATORY = atLaboratory('LAB', 'key 2')

let database: TestDatabase
beforeEach(async () => {
  database ??= await makeTestDatabase()
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW)
  await accept(LABORATORY, on('lab/receipt', 'received', KIT, { facts: { condition: { seal: 'broken' } } }))
})

/** What was derived step by step is what the ledgers say. */
afterEach(async () => {
  const derived = await derivedText(database.owner)
  await rebuild(database.app, NOW)
  expect(derived).toEqual(await derivedText(database.owner))
})

const on = (key: string, kind: string, sample: string, more: Record<string, unknown> = {}) => {
  const [source, id] = key.split('/')
  return { source, id, kind, sample, at: '2026-10-19T10:00:00Z', ...more }
}
const accept = async (reporting: NamedReporter, ...events: Record<string, unknown>[]) =>
  (await acceptEvents(database.app, wire(...events), reporting, NOW)).map(({ acceptance }) => acceptance)
const takeBack = (key: string, sample: string, more: Record<string, unknown> = {}) =>
  on(key, 'withdrawn', sample, { corrects: 'lab/receipt#seal', facts: { reason: 'looked again' }, ...more })

const readKit = async () => {
  const dossier = await getSampleDossier(database.app, 'all', KIT, NOW)
  const { rows } = await database.owner.query<{ is_unruled: boolean }>(
    'select is_unruled from sample where code = $1',
    [KIT],
  )
  const keys = dossier?.sample.findings.map(({ key }) => key).filter((key) => key.endsWith('#seal'))
  return { keys, isUnruled: rows[0]?.is_unruled }
}

test('a laboratory takes back the fault that it told, and then nothing waits for a ruling', async () => {
  await accept(UNRESTRICTED, on('office/sent', 'dispatched', KIT, { at: '2026-10-18T10:00:00Z' }))
  expect(await readKit()).toEqual({ keys: ['lab/receipt#seal'], isUnruled: true })
  expect(await accept(LABORATORY, takeBack('lab/back', KIT))).toEqual(['accepted'])
  expect((await readKit()).keys).toEqual([])
})

test('a plant may not take back what the laboratory found, and learns nothing about other kits', async () => {
  expect(await accept(PLANT, takeBack('desk/back', KIT))).toEqual(['not allowed to correct'])
  expect((await readKit()).keys).toEqual(['lab/receipt#seal'])
  expect(await accept(PLANT, takeBack('desk/other', OTHER_KIT))).toEqual(['unplaced'])
  expect(await accept(PLANT, takeBack('desk/unknown', UNKNOWN_KIT))).toEqual(['unplaced'])
})

test('a withdrawn receipt leaves its fault, and so does its correction on another kit', async () => {
  await accept(LABORATORY, on('lab/undo', 'withdrawn', KIT, { corrects: 'lab/receipt' }))
  expect(await readKit()).toEqual({ keys: ['lab/receipt#seal'], isUnruled: true })
  await accept(UNRESTRICTED, on('office/moved', 'received', OTHER_KIT, { corrects: 'lab/receipt' }))
  expect((await readKit()).keys).toEqual(['lab/receipt#seal'])
})

test('a fault can be taken back before its receipt comes', async () => {
  const early = takeBack('lab/ahead', KIT, { corrects: 'lab/late#seal' })
  expect(await accept(LABORATORY, early)).toEqual(['accepted'])
  const late = on('lab/late', 'received', KIT, { facts: { condition: { seal: 'missing' } } })
  expect(await accept(LABORATORY, late)).toEqual(['accepted'])
  expect((await readKit()).keys).toEqual(['lab/receipt#seal'])
})

test('a ruling on several findings settles them all, and the row says so', async () => {
  await accept(LABORATORY, on('lab/leak', 'deviation', KIT, { facts: { what: 'bag leaking' } }))
  const dossier = await getSampleDossier(database.app, 'all', KIT, NOW)
  const keys = dossier?.sample.findings.map(({ key }) => key) ?? []
  expect(keys.length).toBeGreaterThan(1)
  await accept(
    UNRESTRICTED,
    on('office/1', 'ruling', KIT, { facts: { on: keys[0], ruling: 'use', reason: 'x' } }),
  )
  expect((await readKit()).isUnruled).toBe(true)
  await accept(
    UNRESTRICTED,
    on('office/2', 'ruling', KIT, { facts: { on: keys, ruling: 'use', reason: 'x' } }),
  )
  expect((await readKit()).isUnruled).toBe(false)
})

test('an event of another sample that comes later under the key of the fault changes nothing', async () => {
  expect(await accept(LABORATORY, takeBack('lab/back', KIT))).toEqual(['accepted'])
  const alike = on('lab/receipt#seal', 'received', OTHER_KIT)
  expect(await accept(LABORATORY, alike)).toEqual(['accepted'])
  expect((await readKit()).keys).toEqual([])
})

test('an event of this sample that comes later under the key of the fault is what is taken out', async () => {
  expect(await accept(LABORATORY, takeBack('lab/back', KIT))).toEqual(['accepted'])
  expect(await accept(LABORATORY, on('lab/receipt#seal', 'received', KIT))).toEqual(['accepted'])
  expect((await readKit()).keys).toEqual(['lab/receipt#seal'])
})

test('whoever may withdraw and not receive is told that a fault is not theirs to take back', async () => {
  const limited = { ...UNRESTRICTED, by: 'key 3', sides: ['programme'] as const, kinds: ['withdrawn'] }
  expect(await accept(limited, takeBack('office/back', KIT))).toEqual(['not allowed to correct'])
  expect((await readKit()).keys).toEqual(['lab/receipt#seal'])
  const ofDesk = { ...LABORATORY, kinds: ['withdrawn'] }
  expect(await accept(ofDesk, takeBack('desk/back', KIT))).toEqual(['not allowed to correct'])
})

test('a plant does not bring back a fault that the laboratory took back', async () => {
  await accept(LABORATORY, takeBack('lab/back', KIT))
  const undo = { corrects: 'lab/back' }
  expect(await accept(PLANT, on('desk/undo', 'withdrawn', KIT, undo))).toEqual(['not allowed to correct'])
  expect(await accept(PLANT, on('desk/instead', 'collected', KIT, undo))).toEqual(['not allowed to correct'])
  const { sample: _, ...atPlace } = on('desk/place', 'withdrawn', KIT, { ...undo, place: 'PL1' })
  expect(await accept(PLANT, atPlace)).toEqual(['not allowed to correct'])
  expect((await readKit()).keys).toEqual([])
  expect(await accept(LABORATORY, on('lab/undo', 'withdrawn', KIT, undo))).toEqual(['accepted'])
  expect((await readKit()).keys).toEqual(['lab/receipt#seal'])
})
