import { expect, test } from 'vitest'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import { DIGEST_STATES, type DigestState } from '@/lib/store/mail/digestMails'
import { judgeServer, type ServerFacts } from '@/lib/store/server/checks'
import type { MailFacts } from '@/lib/store/server/mailFacts'

const NOW = Date.UTC(2026, 10, 30, 12)
const mails = (changes: Partial<MailFacts> = {}): MailFacts => ({
  polledAt: NOW - MINUTE,
  counts: Object.fromEntries(DIGEST_STATES.map((state) => [state, 0])) as Record<DigestState, number>,
  waitingSince: null,
  triedInVain: 0,
  inDoubt: 0,
  givenUp: 0,
  lastSentAt: NOW - DAY,
  ...changes,
})
const backup = {
  ...{ lastGoodAt: NOW - HOUR, file: '/backups/one', bytes: 1, lastFault: null },
  scheduledSince: NOW - 30 * DAY,
}
const facts = (changes: Partial<ServerFacts> = {}): ServerFacts => ({
  probe: { fault: null, hasOurMigrations: true },
  mails: mails(),
  disk: { free: 5 * 1024 ** 3, total: 10 * 1024 ** 3 },
  backup,
  signInMailFailedAt: null,
  isDemo: false,
  hasMailServer: true,
  startedAt: NOW - DAY,
  ...changes,
})
const judge = (changes: Partial<ServerFacts>) =>
  judgeServer(facts(changes), NOW)
    .filter(({ state }) => state !== 'ok')
    .map(({ name, state, says, advice }) => {
      expect(advice && english.message(advice)).toBeTruthy()
      return `${name} ${state}: ${english.message(says)}`
    })

test('nothing is said of a server that is all right, nor of the demo', () => {
  expect(judge({})).toEqual([])
  const silent = mails({ polledAt: null, waitingSince: NOW - 30 * DAY, triedInVain: 3 })
  expect(
    judge({ isDemo: true, mails: silent, hasMailServer: false, backup: { ...backup, lastGoodAt: null } }),
  ).toEqual([])
})

test.each<[string, Partial<ServerFacts>, string[]]>([
  [
    'a full disk of the database',
    { probe: { fault: 'full', hasOurMigrations: true } },
    ['database failed: The disk of the database is full.'],
  ],
  [
    'migrations of another version',
    { probe: { fault: null, hasOurMigrations: false } },
    ['migrations failed: The migrations are not those of this program.'],
  ],
  [
    'a queue that nobody looks at',
    { mails: mails({ polledAt: NOW - 6 * MINUTE }) },
    ['queue warning: Nobody has looked for due mail for 6 minutes.'],
  ],
  [
    'a mail that waits for seven hours',
    { mails: mails({ waitingSince: NOW - 7 * HOUR }) },
    ['queue warning: A mail has been waiting for 7 hours.'],
  ],
  [
    'a mail server that takes nothing',
    { mails: mails({ triedInVain: 1 }) },
    ['mail warning: One mail was not taken by the mail server and waits.'],
  ],
  [
    'a sign-in mail that could not be sent',
    { signInMailFailedAt: NOW - HOUR },
    ['mail warning: The last sign-in mail could not be sent.'],
  ],
  [
    'the same before any mail was due',
    { signInMailFailedAt: NOW - HOUR, mails: mails({ lastSentAt: null }) },
    ['mail warning: The last sign-in mail could not be sent.'],
  ],
  [
    'mails in doubt',
    { mails: mails({ inDoubt: 1, givenUp: 1 }) },
    ['mail warning: 2 mails of the last seven days did not arrive, or may not have.'],
  ],
  [
    'no mail server',
    { hasMailServer: false },
    ['mail warning: There is no mail server: mail goes to the outbox and nobody receives it.'],
  ],
  [
    'little room',
    { disk: { free: 1024 ** 3 - 1, total: 1024 ** 4 } },
    ['disk warning: The disk of the data folder has less than 1 GB left.'],
  ],
  [
    'a backup that failed',
    { backup: { ...backup, lastFault: { at: NOW, reason: 'No room.' } } },
    ['backup warning: The last backup failed.'],
  ],
  [
    'an old backup',
    { backup: { ...backup, lastGoodAt: NOW - 3 * DAY } },
    ['backup warning: The last good backup is 3 days old.'],
  ],
  [
    'no backup',
    { backup: { ...backup, lastGoodAt: null } },
    ['backup warning: No backup has been made yet.'],
  ],
])('%s is told', (_, changes, told) => expect(judge(changes)).toEqual(told))

test('a sign-in mail that could not be sent is forgotten after a day, or once another mail was sent', () => {
  expect(judge({ signInMailFailedAt: NOW - DAY - 1 })).toEqual([])
  expect(judge({ signInMailFailedAt: NOW - HOUR, mails: mails({ lastSentAt: NOW - MINUTE }) })).toEqual([])
})

test('what could not be read is not judged', () => {
  const probe = { fault: 'unreachable', hasOurMigrations: null } as const
  const found = judgeServer(facts({ probe, mails: null, disk: null, backup: null }), NOW)
  expect(found.map(({ name }) => name)).toEqual(['database'])
})

test('a server that has just started has some minutes to look for mail', () => {
  expect(judge({ startedAt: NOW - MINUTE, mails: mails({ polledAt: null }) })).toEqual([])
})

test('no backup is missed where none is scheduled', () => {
  expect(judge({ backup: { ...backup, lastGoodAt: null, scheduledSince: null } })).toEqual([])
  expect(judge({ backup: { ...backup, lastGoodAt: null, scheduledSince: NOW - DAY } })).toEqual([])
})
