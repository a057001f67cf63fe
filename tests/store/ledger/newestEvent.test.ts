import { expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { NEWEST_EVENT_SEQ } from '@/lib/store/ledger/eventLedger'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const event = (id: number) => ({
  source: 'desk',
  id: `event ${id}`,
  sample: KIT,
  kind: 'scanned',
  at: '2026-11-01T08:00:00Z',
})

test('the newest event is noted as it is committed, also of many, and a duplicate changes nothing', async () => {
  const { app, owner } = await makeTestDatabase()
  await applyRegister(app, checkedRegister(), NOW)
  const readNoted = async () => (await owner.query(`select (${NEWEST_EVENT_SEQ}) as seq`)).rows[0].seq
  const readNewest = async () => (await owner.query('select max(seq)::text as seq from event')).rows[0].seq
  const accept = (...ids: number[]) => acceptEvents(app, wire(...ids.map(event)), UNRESTRICTED, NOW)
  expect(await readNoted()).toBe('0')
  await accept(1)
  expect(await readNoted()).toBe(await readNewest())
  await accept(...Array.from({ length: 6_000 }, (_, id) => id))
  const noted = await readNoted()
  expect(noted).toBe(await readNewest())
  // A duplicate uses up a number of the sequence.
  await accept(1)
  expect(await readNoted()).toBe(noted)
})
