import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { SMTPServerOptions } from 'smtp-server'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { sendMail } from '@/lib/digest/delivery/mail'
import { openSmtpTransport } from '@/lib/digest/delivery/mailTransport'
import { buildChildEnvironment, readEnvironment } from '@/lib/store/environment'
import { makeSelfSigned, type SelfSignedCertificate } from '@/tests/setup/certificate'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { type MailServer, startMailServer } from './mailServer'
import {
  ADMINISTRATOR,
  addPerson,
  createDelivery,
  deleteMails,
  NOW,
  readMailStates,
  SITE,
  sendDue,
} from './programme'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-tls-'))
const PATIENCE = { greetingMs: 1_000, answerMs: 1_000 }
let database: TestDatabase
let own: SelfSignedCertificate
let others: SelfSignedCertificate
let expired: SelfSignedCertificate
let office: MailServer
/** Whether the last mail came over TLS. */
let isSafe: boolean | null
beforeAll(async () => {
  database = await makeTestDatabase()
  await addPerson(database, 'ada@test.invalid', [ADMINISTRATOR])
  own = await makeSelfSigned([{ type: 'ip', value: '127.0.0.1' }])
  others = await makeSelfSigned([{ type: 'dns', value: 'mail.other.test' }])
  expired = await makeSelfSigned([{ type: 'ip', value: '127.0.0.1' }], 0.5)
})
beforeEach(async () => {
  isSafe = null
  await deleteMails(database)
})
afterEach(() => office.close())
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** A mail server with a certificate: with STARTTLS (`later`), TLS from the first word (`at once`), or neither. */
async function open(way: 'at once' | 'later' | 'never', certificate = own, more: SMTPServerOptions = {}) {
  office = await startMailServer(undefined, {
    ...(way === 'never' ? {} : { ...certificate, disabledCommands: [], secure: way === 'at once' }),
    onMailFrom(_address, session, done) {
      isSafe = session.secure
      done()
    },
    ...more,
  })
  return way === 'at once' ? office.url.replace('smtp:', 'smtps:') : office.url
}

/** Sends the weekly mail and a sign-in mail. @returns the result of each. */
async function send(smtpUrl: string, trusted?: string) {
  await sendDue(
    createDelivery(smtpUrl, database, { openTransport: () => openSmtpTransport(smtpUrl, PATIENCE, trusted) }),
  )
  const [weekly] = await readMailStates(database)
  const mail = { to: 'ada@test.invalid', subject: 'A link', text: 'A link', html: '<p>A link</p>' }
  const settings = { smtpUrl, smtpCa: trusted, from: SITE.from, outbox: folder }
  const link = await sendMail(mail, settings, NOW)
  return { state: weekly?.state, said: weekly?.said, link, count: office.taken.length }
}

/** Expects both mails to be refused for the same reason. */
async function expectRefused(smtpUrl: string, trusted: string | undefined, said: RegExp) {
  const found = await send(smtpUrl, trusted)
  expect(found).toEqual({
    state: 'waiting',
    said: expect.stringMatching(said),
    link: { kind: 'refused', said: found.said },
    count: 0,
  })
  expect(found.said).not.toMatch(/[\r\n]/)
}

describe.each(['later', 'at once'] as const)('a mail server that speaks TLS %s', (way) => {
  test('gets mails over TLS if its certificate is trusted', async () => {
    const sent = { state: 'sent', link: { kind: 'sent' }, count: 2 }
    expect(await send(await open(way), own.cert)).toMatchObject(sent)
    expect(isSafe).toBe(true)
  })

  test('gets none if the issuer of its certificate is unknown, and the error names a cure', async () => {
    const words =
      /^No mail went to 127\.0\.0\.1: its certificate is signed by nobody who is trusted here .*SMTP_CA/
    await expectRefused(await open(way), undefined, words)
    await office.close()
    await deleteMails(database)
    await expectRefused(await open(way), others.cert, words)
    expect(isSafe).toBeNull()
  })

  test('gets none if its certificate is another host’s or has expired, even if trusted', async () => {
    await expectRefused(await open(way, others), others.cert, /certificate is another server’s\. .*SMTP_URL/)
    await office.close()
    await deleteMails(database)
    await expectRefused(
      await open(way, expired),
      expired.cert,
      /is not valid now \(certificate has expired\)/,
    )
  })

  test('gets mails if NODE_EXTRA_CA_CERTS makes Node trust it', async () => {
    const path = join(folder, 'extra.pem')
    writeFileSync(path, own.cert)
    const url = await open(way)
    const sender = (variables: Record<string, string>) =>
      new Promise((resolve) =>
        spawn(process.execPath, ['--import', 'tsx', 'tests/digest/senderProcess.ts', database.url, url], {
          stdio: ['ignore', 'ignore', 'inherit'],
          env: buildChildEnvironment(variables),
        }).once('close', resolve),
      )
    expect(await sender({ NODE_EXTRA_CA_CERTS: path })).toBe(0)
    expect([office.taken.length, isSafe]).toEqual([1, true])
  })
})

describe('a mail server without TLS', () => {
  test('gets none if the URL begins with smtps', async () => {
    const url = (await open('never')).replace('smtp:', 'smtps:')
    await expectRefused(url, own.cert, /does not speak TLS from the first word, as smtps:\/\/ .* smtp:\/\//)
  })

  test('gets no mail and no password if the URL has a password', async () => {
    const passwords: string[] = []
    const url = await open('never', own, {
      onAuth(auth, _session, done) {
        passwords.push(auth.password ?? '')
        done(null, { user: 'desk' })
      },
    })
    const words = /does not offer STARTTLS, and a password is not sent without TLS\. .*STARTTLS/
    await expectRefused(url.replace('//', '//desk:secret@'), own.cert, words)
    expect(passwords).toEqual([])
  })

  test('gets mails in the open if the URL asks for no more', async () => {
    expect(await send(await open('never'))).toMatchObject({ state: 'sent', count: 2 })
    expect(isSafe).toBe(false)
  })
})

test('a timeout of a server that expects TLS from the first word comes with a hint', async () => {
  const url = (await open('at once')).replace('smtps:', 'smtp:')
  await sendDue(createDelivery(url, database))
  expect((await readMailStates(database))[0]?.said).toMatch(/begin SMTP_URL with smtps:\/\//)
})

test('a password is sent after STARTTLS', async () => {
  const url = await open('later', own, {
    onAuth(auth, session, done) {
      done(null, auth.password === 'secret' && session.secure ? { user: 'desk' } : undefined)
    },
  })
  expect(await send(url.replace('//', '//desk:secret@'), own.cert)).toMatchObject({ state: 'sent', count: 2 })
})

test('SMTP_CA has to name a file of certificates', () => {
  const file = (text: string) => {
    const path = join(folder, 'ca.pem')
    writeFileSync(path, text)
    return path
  }
  const read = (text: string) => readEnvironment({ SMTP_CA: file(text) }).smtpCa
  expect(read(`Signed here\n${own.cert}\n${others.cert}`)?.match(/BEGIN CERTIFICATE/g)).toHaveLength(2)
  expect(readEnvironment({ SMTP_CA: '' }).smtpCa).toBeUndefined()
  for (const text of ['', own.key, own.cert.replace(/\n[^-]{30}/, '\n')])
    expect(() => read(text)).toThrow(/SMTP_CA must be the path of a PEM file with the certificates/)
  expect(() => readEnvironment({ SMTP_CA: join(folder, 'nowhere.pem') })).toThrow(/SMTP_CA must be/)
})
