import { SMTPServer } from 'smtp-server'
import { beforeAll, expect, test, vi } from 'vitest'
import { sendSignInMail } from '@/lib/digest/delivery/signInMail'
import { english } from '@/lib/messages/english'
import { findFreePort } from '@/lib/store/engine/freePort'
import { readSignInMailFailedAt } from '@/lib/store/mail/signInMailFault'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { signInAs } from '@/tests/setup/signIn'

let database: TestDatabase
let personId: string
let port: number
beforeAll(async () => {
  database = await makeTestDatabase()
  port = await findFreePort()
  // This process reads its environment once.
  vi.stubEnv('DATABASE_URL', database.url)
  vi.stubEnv('SMTP_URL', `smtp://127.0.0.1:${port}`)
  atEndOfFile(async () => {
    await Promise.all([getAppPool().end(), getAuthPool().end()])
    vi.unstubAllEnvs()
  })
  personId = (await signInAs(database, { isReader: true })).personId
})

async function send() {
  const person = { id: personId, email: 'one@test.invalid', name: 'One' }
  await sendSignInMail(english, { id: 'i', token: 'T'.repeat(43), code: '01234567', person })
}

/** Sends while a mail server listens, which refuses every recipient with `refusal` if that is given. */
async function sendToServer(refusal?: string) {
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onRcptTo: (_address, _session, done) =>
      done(refusal ? Object.assign(new Error(refusal), { responseCode: 550 }) : null),
    onData: (stream, _session, done) => void stream.resume().on('end', () => done()),
  })
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve))
  await send()
  await new Promise<void>((resolve) => server.close(() => resolve()))
}

test('a sign-in mail that could not be sent stays known until one is sent', async () => {
  expect(await readSignInMailFailedAt(database.app)).toBeNull()
  const before = Date.now()
  const lines = vi.spyOn(process.stderr, 'write')
  await send()
  expect(await readSignInMailFailedAt(database.app)).toBeGreaterThanOrEqual(before)
  await sendToServer('No such box in this house')
  const said = lines.mock.calls.map(([text]) => String(text)).join('')
  lines.mockRestore()
  expect(said).toMatch(
    /sign-in mail could not be sent: The mail server 127.* could not be reached .*ECONNREFUSED/,
  )
  expect(said).toMatch(/sign-in mail could not be sent: .*No such box/)
  expect(said).not.toMatch(/refused a sign-in mail/)
  expect(await readSignInMailFailedAt(database.app)).toBeGreaterThanOrEqual(before)
  await sendToServer()
  expect(await readSignInMailFailedAt(database.app)).toBeNull()
  const { rows } = await database.owner.query(
    `select subject, outcome from audit_entry where what = 'mailed a sign-in link'`,
  )
  expect(rows).toEqual([
    { subject: personId, outcome: 'refused' },
    { subject: personId, outcome: 'refused' },
  ])
})
