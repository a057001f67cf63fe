import { beforeAll, expect, test } from 'vitest'
import { generateKitCode, listTypos } from '@/lib/custody/kitCode'
import { DAY, HOUR } from '@/lib/hold/zone'
import { findKnownMails } from '@/lib/store/mail/digestMails'
import { findSigningKey, makeKey } from '@/lib/store/people/keys'
import { ensurePerson, listColleagues, readReporterNames } from '@/lib/store/people/people'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { ensureDerived } from '@/lib/store/projection/rebuild'
import { getReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { getBoard } from '@/lib/store/read/board'
import { getTurnaround } from '@/lib/store/read/figures/turnaround'
import { readLedgerPosition, runBacktest } from '@/lib/store/read/lanes/backtestRun'
import { findVisibleKits, listSubmittedEvents } from '@/lib/store/read/sample/eventForm'
import { getKitShipWindows } from '@/lib/store/read/ship/shipWindows'
import { findUnplacedEvent, listUnplacedEvents } from '@/lib/store/read/unplaced/unplacedEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { COMMAND } from '@/lib/store/scope/audit'
import { makeRandom } from '../../bench/manyEvents'
import { checkedRegister, wire } from '../../cases/smallProgramme'
import { KITS, smallEvents, smallKits } from '../../flows/pagesProgramme'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

// What is else asked only by a running server, where no row is held against its schema.
const now = Date.now()
/** More than a board shows. */
const MANY = 450
const random = makeRandom(77)
/** A kit whose code a slip of the pen makes into another one that is good: few have such a slip. */
const [SLIPPED, SLIP] = Array.from({ length: 5_000 }, () => generateKitCode(random))
  .map((code) => [code, listTypos(code)[0]])
  .find((pair): pair is [string, string] => pair[1] !== undefined) as [string, string]
const TOKEN = 'token-of-a-form-1'
let database: TestDatabase
let person: string
let source: string

beforeAll(async () => {
  database = await makeTestDatabase()
  const { app, authPool } = database
  const contact = { role: 'plant contact', place: 'PL1' } as const
  person = await ensurePerson(
    authPool,
    { email: 'a@demo.invalid', name: 'A', roles: [contact] },
    COMMAND,
    now,
  )
  await ensurePerson(authPool, { email: 'b@demo.invalid', name: 'B', roles: [contact] }, COMMAND, now)
  source = `hand ${person}`
  const kits = [...smallKits(now), { ...smallKits(now)[0], code: SLIPPED }]
  await applyRegister(app, checkedRegister({ kits }), now, COMMAND)
  const at = (hours: number) => new Date(now - hours * HOUR).toISOString()
  const sent = { source: 'desk', service: 'road', kind: 'dispatched', at: at(20) }
  const events = [
    ...smallEvents(now),
    { ...sent, id: 'sent', sample: KITS.sound, waybill: 'W7' },
    { ...sent, id: 'sent too', sample: KITS.atRisk, waybill: 'W2' },
    { source: 'desk', id: 'ended', sample: KITS.tight, kind: 'cancelled', at: at(1) },
    { source, id: `${TOKEN} ${KITS.lapsed}`, sample: KITS.lapsed, kind: 'sealed', at: at(2) },
    { source, id: `${TOKEN} ${KITS.sound}`, sample: KITS.sound, kind: 'sealed', at: at(30) },
    {
      source,
      id: 'taken back',
      sample: KITS.sound,
      kind: 'withdrawn',
      at: at(1),
      corrects: `${source}/${TOKEN} ${KITS.sound}`,
    },
    { source: 'desk', id: 'a slip away', sample: SLIP, kind: 'sealed', at: at(3) },
  ]
  const reporting = {
    by: `person ${person}`,
    sides: ['programme'] as const,
    kinds: null,
    plants: null,
    laboratories: null,
  }
  await acceptEvents(app, wire(...events), reporting, now)
})

test('of the board: more than it shows, and what a search finds among settled samples', async () => {
  const { app, owner } = database
  const found = await getBoard(app, 'all', { search: KITS.tight }, now)
  expect(found.bands[0]?.rows).toMatchObject([{ code: KITS.tight, isSettled: true }])
  await owner.query(
    "update forecast set limit_name = 'cut to chamber', tight_at = now() - interval '1 day' where code = $1",
    [KITS.sound],
  )
  await owner.query(
    `insert into sample select made.* from sample cross join generate_series(1, $2::int) as copy (number),
       jsonb_populate_record(null::sample, to_jsonb(sample) || jsonb_build_object('code', 'COPY' || number)) as made
     where sample.code = $1`,
    [KITS.lapsed, MANY],
  )
  expect((await getBoard(app, 'all', {}, now)).notShown).toBeGreaterThan(0)
  await owner.query("delete from sample where code like 'COPY%'")
})

test('of samples under way, unplaced events, event forms and ship windows', async () => {
  const { app } = database
  const { laboratories } = await getReceivingList(app, 'all', null, now)
  expect(laboratories.flatMap(({ rows }) => rows.map(({ code }) => code)).sort()).toEqual(
    [KITS.sound, KITS.atRisk].sort(),
  )
  const { events } = await listUnplacedEvents(app, 'all', now)
  expect(events.flatMap(({ likely }) => likely.map(({ code }) => code))).toContain(SLIPPED)
  expect(await findUnplacedEvent(app, 'all', 'carrier/1', now)).toMatchObject({
    event: { waybill: 'W1' },
    isClaim: false,
  })
  expect(await findVisibleKits(app, 'all', [KITS.sound], now)).toMatchObject([
    { code: KITS.sound, plant: 'PL1' },
  ])
  expect(await listSubmittedEvents(app, 'all', source, TOKEN, now)).toHaveLength(2)
  expect(await getKitShipWindows(app, 'all', KITS.unused, now)).not.toBeUndefined()
  expect((await runBacktest(app, await readLedgerPosition(app, now), now)).position).toMatch(/^\d+ \d+$/)
  expect((await getTurnaround(app, 'all', {}, now + DAY)).parts.length).toBeGreaterThan(0)
})

test('of people, keys, mails and the facts of the derivation', async () => {
  const { app, authPool, owner } = database
  const rights = {
    name: 'dock',
    sources: ['dock'],
    sides: ['programme'] as const,
    kinds: null,
    plants: null,
    laboratories: null,
  }
  const further = { mayImportHistory: false, maySetRegister: false, mustSign: true, expiresAt: null }
  const made = await makeKey(authPool, { ...rights, ...further }, COMMAND, now)
  if (made.fault) throw new Error(JSON.stringify(made.fault))
  const { id } = made
  expect((await findSigningKey(authPool, id, now))?.key).toMatchObject({ id, name: 'dock' })
  const names = await readReporterNames(authPool, [`person ${person}`, `key ${id}`, null])
  expect([...names.values()].sort()).toEqual(['A', 'dock'])
  expect(await listColleagues(authPool, person)).toMatchObject([{ name: 'B' }])
  const mail = { personId: person, occasion: '2026-W48' }
  await owner.query(
    "insert into digest_mail (person_id, occasion, due_at, state) values ($1, $2, now(), 'waiting')",
    [mail.personId, mail.occasion],
  )
  expect([...(await findKnownMails(authPool, [mail]))]).toHaveLength(1)
  await ensureDerived(app, now)
  expect(await ensureDerived(app, now)).toBeNull()
})
