import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { getBoard } from '@/lib/store/read/board'
import { openAppPool } from '@/lib/store/scope/pool'
import { makeTestKey } from '@/tests/setup/apiKey'
import { connect, makeEmptyTestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type ServedProgramme, signInAs } from '@/tests/setup/signIn'
import { noSystemPostgres, startSystemPostgres } from '@/tests/setup/systemPostgres'
import { backUp, makeFolder, restore } from '@/tests/store/backup/backupCase'
import { KITS, smallEvents, startSmallProgramme } from './pagesProgramme'

let source: ServedProgramme
let server: TestServer
let url: string
let secret: string
const now = Date.now()

// Backed up while it is served, and restored into another PostgreSQL where there is one.
beforeAll(async () => {
  source = await startSmallProgramme()
  secret = await makeTestKey(source.database)
  const file = join(makeFolder(), 'backup')
  await backUp(source.database.url, file)
  url = noSystemPostgres
    ? (await makeEmptyTestDatabase()).url
    : (await startSystemPostgres()).url('restored elsewhere')
  await restore(url, file)
  server = await startTestServer(url)
})

const ask = async (address: string, path: string, headers: Record<string, string>) => {
  const response = await fetch(address + path, { headers, redirect: 'manual' })
  return { status: response.status, text: await response.text() }
}

test('a restored programme shows the same board', async () => {
  const pool = openAppPool(url)
  atEndOfFile(() => pool.end())
  const board = await getBoard(source.database.app, 'all', {}, now)
  expect(board.bands.flatMap(({ rows }) => rows).length).toBeGreaterThan(3)
  expect(await getBoard(pool, 'all', {}, now)).toEqual(board)
})

test('serves who was signed in, and signs the same people in again', async () => {
  const { headers, email, personId } = source.administrator
  const page = await ask(server.address, `/samples/${KITS.lapsed}`, headers)
  expect(page.status).toBe(200)
  const rows = async (address: string, by: Record<string, string>) =>
    JSON.parse((await ask(address, '/api/board', by)).text).bands.flatMap(
      (band: { rows: { code: string }[] }) => band.rows.map(({ code }) => code),
    )
  const wanted = await rows(source.address, headers)
  expect(wanted.length).toBeGreaterThan(3)
  expect(await rows(server.address, headers)).toEqual(wanted)
  const { close, ...database } = connect(url)
  atEndOfFile(close)
  const again = await signInAs(database, ADMINISTRATOR, email)
  expect(again.personId).toBe(personId)
  expect(await rows(server.address, again.headers)).toEqual(wanted)
})

test('takes events by the same key, and knows those it had', async () => {
  const post = async (event: unknown) => {
    const headers = { authorization: `Bearer ${secret}`, 'content-type': 'application/json' }
    const init = { method: 'POST', headers, body: JSON.stringify([event]) }
    return (await fetch(`${server.address}/api/events`, init)).json()
  }
  const at = new Date(now).toISOString()
  const fresh = { source: 'desk', id: 'after the restore', sample: KITS.sound, kind: 'sealed', at }
  expect(await post(fresh)).toMatchObject({ accepted: 1 })
  expect(await post(fresh)).toMatchObject({ accepted: 0, alreadyKnown: 1 })
  const { rows } = await source.database.owner.query("select at from event where id = 'cut sound'")
  const [, , , sound] = smallEvents(now)
  expect(await post({ ...sound, at: rows[0].at })).toMatchObject({ accepted: 0, alreadyKnown: 1 })
})
