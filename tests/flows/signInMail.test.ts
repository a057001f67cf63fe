import { SMTPServer } from 'smtp-server'
import { beforeAll, expect, test } from 'vitest'
import { findFreePort } from '@/lib/store/engine/freePort'
import { readSignInMailFailedAt } from '@/lib/store/mail/signInMailFault'
import { ensurePerson } from '@/lib/store/people/people'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'

const EMAIL = 'one@test.invalid'

let database: TestDatabase
let server: TestServer
let port: number
beforeAll(async () => {
  database = await makeTestDatabase()
  port = await findFreePort()
  server = await startTestServer(database.url, { SMTP_URL: `smtp://127.0.0.1:${port}` })
  const actor = { who: 'command', name: 'a test', address: null }
  await ensurePerson(database.authPool, { email: EMAIL, name: 'One', roles: [] }, actor, Date.now())
})

/** Asks for a mail to sign in with, which the server sends after its answer. */
async function request() {
  await database.authPool.query('delete from sign_in_request')
  const body = new URLSearchParams({ email: EMAIL })
  const headers = { origin: server.address }
  const response = await fetch(`${server.address}/api/sign-in`, {
    method: 'POST',
    redirect: 'manual',
    headers,
    body,
  })
  expect(response.status).toBe(303)
}

/** A mail server, which refuses every recipient with `refusal` if that is given. */
async function listen(refusal?: string): Promise<SMTPServer> {
  const mailServer = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onRcptTo: (_address, _session, done) =>
      done(refusal ? Object.assign(new Error(refusal), { responseCode: 550 }) : null),
    onData: (stream, _session, done) => void stream.resume().on('end', () => done()),
  })
  await new Promise<void>((resolve) => mailServer.listen(port, '127.0.0.1', resolve))
  return mailServer
}

const close = (mailServer: SMTPServer) => new Promise<void>((resolve) => mailServer.close(() => resolve()))
const readFailedAt = () => readSignInMailFailedAt(database.app)
const WAIT = { timeout: 60_000 }

test('a sign-in mail that could not be sent stays known until one is sent', async () => {
  expect(await readFailedAt()).toBeNull()
  const before = Date.now()
  await request()
  await expect.poll(readFailedAt, WAIT).toBeGreaterThanOrEqual(before)
  expect(await server.errors()).toMatch(
    /could not be sent: The mail server 127.* could not be reached .*ECONNREFUSED/,
  )

  const refusing = await listen('No such box in this house')
  await request()
  await expect.poll(server.errors, WAIT).toMatch(/could not be sent: .*No such box/)
  await close(refusing)
  expect(await readFailedAt()).toBeGreaterThanOrEqual(before)

  const taking = await listen()
  await request()
  await expect.poll(readFailedAt, WAIT).toBeNull()
  await close(taking)
  const { rows } = await database.owner.query(
    `select outcome from audit_entry where what = 'mailed a sign-in link'`,
  )
  expect(rows).toEqual([{ outcome: 'refused' }, { outcome: 'refused' }])
})
