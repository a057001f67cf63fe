import { beforeAll, beforeEach, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { listUnplacedEvents } from '@/lib/store/read/unplaced/unplacedEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { atPlant } from '@/tests/cases/reporters'
import { clearLedger } from '../../../cases/derivedText'
import { checkedRegister, KIT, OTHER_KIT, wire } from '../../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../../setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const MINE = atPlant('PL1')
const RIVAL = atPlant('PL2')

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})
beforeEach(async () => {
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW)
})

let accepted = 0
/** Each hand-over is accepted a second after the one before. */
const claim = async (
  reporting: NamedReporter,
  sample: string,
  waybill: string,
  ids: readonly string[],
  more: Record<string, unknown> = {},
) => {
  accepted += 1
  const at = '2026-10-17T10:00:00Z'
  const events = ids.map((id) => ({
    source: 'desk',
    id,
    kind: 'dispatched',
    sample,
    service: 'road',
    waybill,
    at,
    ...more,
  }))
  await acceptEvents(database.app, wire(...events), reporting, NOW + accepted * 1_000)
}

const listClaims = async (now = NOW) => (await listUnplacedEvents(database.app, 'all', now)).claims

test('claims of one plant, however many, hide none of another’s', async () => {
  await claim(RIVAL, OTHER_KIT, 'W2', ['rival first'])
  await claim(MINE, KIT, 'W2', ['mine'])
  await claim(MINE, KIT, 'W1', ['mine first'])
  await claim(
    RIVAL,
    OTHER_KIT,
    'W1',
    Array.from({ length: 250 }, (_, index) => `again ${index}`),
  )
  const claims = await listClaims()
  expect(claims.map(({ key }) => key)).toContain('desk/mine')
  expect(claims.map(({ event }) => event.sample).sort()).toEqual([KIT, OTHER_KIT].sort())
})

test('a sample whose claim was confirmed waits for no other of its claims on that waybill', async () => {
  await claim(MINE, KIT, 'W1', ['mine'])
  await claim(RIVAL, OTHER_KIT, 'W1', ['one', 'two'])
  await claim(UNRESTRICTED, OTHER_KIT, 'W1', ['confirmed'], { corrects: 'desk/one' })
  expect(await listClaims()).toEqual([])
})

test('names the plant whose sample travels under the waybill, whichever claim was sent first', async () => {
  await claim(RIVAL, OTHER_KIT, 'W1', ['ahead'], { at: '2026-10-20T14:00:00Z' })
  await claim(MINE, KIT, 'W1', ['mine'])
  const later = NOW + 3 * 3_600_000
  await claim(RIVAL, OTHER_KIT, 'W1', ['again'])
  const reasons = (await listClaims(later)).map(({ reason }) => reason)
  expect(reasons).toMatchObject([{ values: { plant: 'A plant' } }])
})
