import { beforeAll, beforeEach, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { listUnplacedEvents } from '@/lib/store/read/unplaced/unplacedEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { atPlant } from '@/tests/cases/reporters'
import { clearLedger } from '../../../cases/derivedText'
import { checkedRegister, KIT, OTHER_KIT, UNKNOWN_KIT, wire } from '../../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../../setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const PLANT = atPlant('PL1', 'key 1')
const CARRIED = { service: 'road', waybill: 'W1' }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})
beforeEach(async () => {
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW)
})

const on = (key: string, kind: string, sample: string | null, more: Record<string, unknown> = {}) => {
  const [source, id] = key.split('/')
  return { source, id, kind, sample, at: '2026-10-17T10:00:00Z', ...more }
}

const accept = (reporting: NamedReporter, ...events: Record<string, unknown>[]) =>
  acceptEvents(database.app, wire(...events), reporting, NOW)
const withdraw = (key: string, reporting = UNRESTRICTED, sample: string | null = KIT) =>
  accept(
    reporting,
    on(`${key} undone`, 'withdrawn', sample, { corrects: key, ...(sample === null ? CARRIED : {}) }),
  )

async function shown(scope: Scope = 'all') {
  const { events, corrected } = await listUnplacedEvents(database.app, scope, NOW)
  return { unplaced: events.map(({ key }) => key), corrected: corrected.map(({ key }) => key) }
}

test('an event of an unknown kit stays visible when it is withdrawn, with what withdrew it', async () => {
  await accept(UNRESTRICTED, on('desk/slip', 'collected', UNKNOWN_KIT))
  expect(await shown()).toEqual({ unplaced: ['desk/slip'], corrected: [] })
  await withdraw('desk/slip')
  await accept(UNRESTRICTED, on('lab/also', 'scanned', UNKNOWN_KIT, { corrects: 'desk/slip' }))
  const { corrected } = await listUnplacedEvents(database.app, 'all', NOW)
  expect(corrected).toMatchObject([
    {
      key: 'desk/slip',
      event: { kind: 'collected', sample: UNKNOWN_KIT },
      correctedBy: [
        { key: 'desk/slip undone', kind: 'withdrawn', sample: KIT },
        { key: 'lab/also', kind: 'scanned', sample: null },
      ],
    },
  ])
})

test('so does an event of another maker’s kit, which that sample never shows', async () => {
  await accept(PLANT, on('desk/foreign', 'collected', OTHER_KIT), on('desk/own', 'collected', KIT))
  await withdraw('desk/foreign', PLANT)
  await withdraw('desk/own', PLANT)
  expect(await shown()).toEqual({ unplaced: [], corrected: ['desk/foreign'] })
  expect((await getSampleDossier(database.app, 'all', OTHER_KIT, NOW))?.sample.events).toEqual([])
  for (const scope of [
    { plants: ['PL1', 'PL2'], laboratories: ['LAB'] },
    { plants: [], laboratories: [] },
  ])
    expect(await shown(scope)).toEqual({ unplaced: [], corrected: [] })
})

test('a consignment’s event is listed only while it counts for no sample', async () => {
  await accept(UNRESTRICTED, on('carrier/here', 'delivered', null, CARRIED))
  await withdraw('carrier/here', UNRESTRICTED, null)
  expect((await shown()).corrected).toEqual(['carrier/here'])
  await accept(UNRESTRICTED, on('desk/far', 'dispatched', KIT, { ...CARRIED, at: '2026-08-01' }))
  expect((await shown()).corrected).toEqual(['carrier/here'])
  await accept(UNRESTRICTED, on('desk/ahead', 'dispatched', KIT, { ...CARRIED, at: '2026-10-21' }))
  expect((await shown()).corrected).toEqual(['carrier/here'])
  await accept(PLANT, on('desk/foreign', 'dispatched', OTHER_KIT, CARRIED))
  expect((await shown()).corrected).toEqual(['carrier/here'])
  await accept(UNRESTRICTED, on('desk/sent', 'dispatched', KIT, CARRIED))
  expect((await shown()).corrected).toEqual([])
  await withdraw('desk/sent')
  expect((await shown()).corrected).toEqual(['carrier/here'])
})
