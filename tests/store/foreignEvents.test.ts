import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { atLaboratory, atPlant } from '@/tests/cases/reporters'
import { checkedRegister, KIT, OTHER_KIT, UNKNOWN_KIT, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')

/** A key of the plant of KIT, to which OTHER_KIT is another maker's, and one of the laboratory of both. */
const PLANT = atPlant('PL1', 'key 1')
const LABORATORY = atLaboratory('LAB', 'key 2')

const SENT = { service: 'road', waybill: 'W1' }

let database: TestDatabase
beforeEach(async () => {
  database ??= await makeTestDatabase()
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW)
})

/** What was derived step by step is what the ledgers say. */
afterEach(async () => {
  const derived = await derivedText(database.owner)
  await rebuild(database.app, NOW)
  expect(derived).toEqual(await derivedText(database.owner))
})

const on = (key: string, kind: string, sample: string | null, more: Record<string, unknown> = {}) => {
  const [source, id] = key.split('/')
  return { source, id, kind, sample, at: '2026-10-19T10:00:00Z', ...more }
}

const accept = async (reporting: NamedReporter, ...events: Record<string, unknown>[]) =>
  (await acceptEvents(database.app, wire(...events), reporting, NOW)).map(({ acceptance }) => acceptance)
const unplaced = async () =>
  (await derivedText(database.owner)).flatMap((row) =>
    row.startsWith('unplaced ') ? [row.slice('unplaced '.length)] : [],
  )
const readStage = async (code: string) =>
  (await database.owner.query<{ stage: string | null }>('select stage from sample where code = $1', [code]))
    .rows[0]?.stage

describe('an event of another maker’s kit', () => {
  test.each([
    ['of another maker', OTHER_KIT],
    ['that nobody knows', UNKNOWN_KIT],
  ])(
    'is unplaced like one of a kit %s, though the laboratory corrected it before it came',
    async (_, kit) => {
      const ahead = on('lab/ahead', 'dispatched', null, {
        service: 'road',
        waybill: 'W1',
        corrects: 'desk/e',
      })
      expect(await accept(LABORATORY, ahead)).toEqual(['unplaced'])
      expect(await accept(PLANT, on('desk/e', 'dispatched', kit))).toEqual(['unplaced'])
      expect(await unplaced()).toEqual(['desk/e', 'lab/ahead'])
    },
  )

  test.each([
    ['of another maker', OTHER_KIT],
    ['that nobody knows', UNKNOWN_KIT],
  ])('is out once its own source puts it right, or the programme does: a kit %s', async (_, kit) => {
    await accept(PLANT, on('desk/own', 'collected', kit), on('desk/other', 'collected', kit))
    await accept(LABORATORY, on('lab/no', 'withdrawn', KIT, { corrects: 'desk/own' }))
    expect(await unplaced()).toEqual(['desk/other', 'desk/own'])
    await accept(PLANT, on('desk/undo', 'withdrawn', KIT, { corrects: 'desk/own' }))
    await accept(UNRESTRICTED, on('office/undo', 'withdrawn', KIT, { corrects: 'desk/other' }))
    expect(await unplaced()).toEqual([])
  })

  test('that was put right stays so when another, who may not, corrects it as well', async () => {
    await accept(PLANT, on('desk/slip', 'collected', OTHER_KIT))
    await accept(PLANT, on('desk/undo', 'withdrawn', KIT, { corrects: 'desk/slip' }))
    expect(await unplaced()).toEqual([])
    const notTheirs = on('line/undo', 'withdrawn', OTHER_KIT, { corrects: 'desk/slip' })
    expect(await accept(PLANT, notTheirs)).toEqual(['unplaced'])
    expect(await unplaced()).toEqual(['line/undo'])
  })

  test('that was put right stays so when what it corrects comes, and another of that kit', async () => {
    await accept(PLANT, on('desk/slip', 'collected', OTHER_KIT, { corrects: 'desk/late' }))
    await accept(PLANT, on('desk/undo', 'withdrawn', KIT, { corrects: 'desk/slip' }))
    await accept(PLANT, on('desk/late', 'sealed', OTHER_KIT))
    expect(await unplaced()).toEqual([])
  })

  test.each(['W1', 'W2'])('leaves the sample alone, though it names a waybill: %s', async (waybill) => {
    const carried = { service: 'road', waybill }
    await accept(UNRESTRICTED, on('lab/out', 'dispatched', KIT, { service: 'road', waybill: 'W1' }))
    const version = async () =>
      (await database.owner.query('select xmin::text from sample where code = $1', [OTHER_KIT])).rows
    const before = await version()
    expect(before).toHaveLength(1)
    await accept(PLANT, on('desk/first', 'dispatched', OTHER_KIT, carried))
    await accept(PLANT, on('desk/second', 'received', null, carried))
    expect(await version()).toEqual(before)
  })

  test.each([
    ['speaks of its waybill', on('desk/x', 'received', null, SENT), ['unplaced'], ['desk/x']],
    ['sends an own kit under its waybill', on('desk/x', 'dispatched', KIT, SENT), ['accepted'], []],
    ['corrects its dispatch', on('desk/x', 'withdrawn', KIT, { corrects: 'lab/out' }), ['accepted'], []],
    [
      'corrects its scan',
      on('desk/x', 'withdrawn', null, { ...SENT, corrects: 'line/scan' }),
      ['unplaced'],
      ['desk/x'],
    ],
  ])('reads nothing of another’s sample where it %s', async (_, event, acceptances, left) => {
    await accept(
      UNRESTRICTED,
      on('lab/out', 'dispatched', OTHER_KIT, SENT),
      on('line/scan', 'received', null, SENT),
    )
    const version = async () =>
      (await database.owner.query('select xmin::text, stage from sample where code = $1', [OTHER_KIT])).rows
    const before = await version()
    expect(before).toMatchObject([{ stage: 'received' }])
    expect(await accept(PLANT, event)).toEqual(acceptances)
    expect(await version()).toEqual(before)
    expect(await unplaced()).toEqual(left)
  })

  test('counts, and is corrected like any other, once the kit is its reporter’s', async () => {
    await accept(LABORATORY, on('lab/early', 'withdrawn', OTHER_KIT, { corrects: 'desk/e' }))
    await accept(PLANT, on('desk/e', 'collected', OTHER_KIT), on('desk/sealed', 'sealed', OTHER_KIT))
    expect(await unplaced()).toEqual(['desk/e', 'desk/sealed'])
    const kits = checkedRegister().kits.map((kit) => ({ ...kit, plant: 'PL1', product: 'FELT' }))
    await applyRegister(database.app, checkedRegister({ kits }), NOW)
    expect(await unplaced()).toEqual([])
    expect(await readStage(OTHER_KIT)).toBe('sealed')
  })
})

test('a loop of corrections that another maker closes undoes those of the samples that they were made in', async () => {
  await accept(UNRESTRICTED, on('lab/c', 'collected', OTHER_KIT, { corrects: 'desk/a' }))
  await accept(UNRESTRICTED, on('lab/b', 'withdrawn', OTHER_KIT, { corrects: 'lab/c' }))
  expect(await readStage(OTHER_KIT)).toBeNull()
  await accept(PLANT, on('desk/a', 'collected', KIT, { corrects: 'lab/b' }))
  expect(await readStage(OTHER_KIT)).toBe('collected')
})

test('a loop that is closed lets an event of an unknown kit be unplaced again', async () => {
  await accept(UNRESTRICTED, on('lab/c', 'collected', UNKNOWN_KIT, { corrects: 'desk/a' }))
  await accept(UNRESTRICTED, on('lab/b', 'withdrawn', KIT, { corrects: 'lab/c' }))
  expect(await unplaced()).toEqual([])
  await accept(PLANT, on('desk/a', 'collected', KIT, { corrects: 'lab/b' }))
  expect(await unplaced()).toEqual(['lab/c'])
})
