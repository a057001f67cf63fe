import { canonicalEmail, ensurePerson, type Role } from '@/lib/access/people'
import type { MailLine } from '@/lib/digest/mailLine'
import { openMailLine } from '@/lib/digest/mailLine'
import type { Round } from '@/lib/digest/round'
import { acceptEvents } from '@/lib/store/acceptEvents'
import { UNRESTRICTED } from '@/lib/store/eventLedger'
import { FOREIGN_WORDS, KITS } from '@/tests/access/twoMakers'
import { wire } from '@/tests/cases/smallProgramme'
import type { TestDatabase } from '@/tests/setup/database'

/** Tuesday 24 November 2026, noon UTC: the mail of Monday at seven is due in every zone. */
export const NOW = Date.UTC(2026, 10, 24, 12)
export const WEEK = '2026-W48'
const KNOWN_SINCE = Date.UTC(2026, 0, 1)

export const SITE = {
  url: 'https://holdfast.example',
  from: 'Holdfast <desk@holdfast.example>',
  replyTo: 'Programme office <office@holdfast.example>',
  secret: 'a secret of the tests that nobody can guess',
}

/** Enters someone who was there before this year's last weeks. */
export async function addPerson(
  { door }: Pick<TestDatabase, 'door'>,
  email: string,
  roles: readonly Role[],
  more: { name?: string; zone?: string } = {},
): Promise<string> {
  const actor = { who: 'command', name: 'a test', address: null }
  const { name = email.split('@')[0] as string, zone = 'Europe/Lisbon' } = more
  const id = await ensurePerson(door, { email: canonicalEmail(email), name, roles }, actor, KNOWN_SINCE)
  await door.query('update person set created_at = $2, zone = $3 where id = $1', [
    id,
    new Date(KNOWN_SINCE),
    zone,
  ])
  return id
}

export const ADMINISTRATOR: Role = { role: 'administrator', place: '' }

/** A round against a mail server, of one sender, at `now` as it is when asked. */
export function roundOf(
  { app, door }: Pick<TestDatabase, 'app' | 'door'>,
  smtpUrl: string,
  changes: Partial<Round> = {},
): Round {
  const patience = { greetingMs: 1_000, answerMs: 1_000 }
  return {
    app,
    door,
    site: SITE,
    now: () => NOW,
    openLine: (): MailLine => openMailLine(smtpUrl, patience),
    senders: 1,
    ...changes,
  }
}

/** Each mail's fate, by address, of one week. */
export async function fates({ door }: Pick<TestDatabase, 'door'>, week = WEEK) {
  const { rows } = await door.query<{ email: string; state: string; said: string | null; tries: number }>(
    `select email, state, said, tries from digest_mail join person on id = person_id where occasion = $1 order by email`,
    [week],
  )
  return rows
}

/** Takes back that the samples of two makers were sent, so that each has something to do for its plant. */
export async function takeBackDispatches({ app }: Pick<TestDatabase, 'app'>, now: number): Promise<void> {
  const events = Object.entries(KITS)
    .filter(([name]) => name !== 'nowhere')
    .map(([name, sample]) => {
      const source = name.startsWith('PL1') ? 'dock' : FOREIGN_WORDS.source
      const at = new Date(now).toISOString()
      return {
        source,
        id: `${name} not sent`,
        sample,
        kind: 'withdrawn',
        at,
        corrects: `${source}/${name} sent`,
      }
    })
  await acceptEvents(app, wire(...events), UNRESTRICTED, now)
}
