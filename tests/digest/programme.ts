import PgBoss from 'pg-boss'
import { UNRESTRICTED } from '@/lib/custody/event'
import { type MailTransport, openSmtpTransport } from '@/lib/digest/delivery/mailTransport'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { type DeliveryOptions, startDelivery } from '@/lib/digest/delivery/startDelivery'
import { normalizeEmail } from '@/lib/policy/email'
import type { Role } from '@/lib/policy/personRoles'
import { ensurePerson } from '@/lib/store/people/people'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
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

/** Adds a person who joined before the last weeks of this year. */
export async function addPerson(
  { authPool }: Pick<TestDatabase, 'authPool'>,
  email: string,
  roles: readonly Role[],
  more: { name?: string; zone?: string } = {},
): Promise<string> {
  const actor = { who: 'command', name: 'a test', address: null }
  const { name = email.split('@')[0] as string, zone = 'Europe/Lisbon' } = more
  const id = await ensurePerson(authPool, { email: normalizeEmail(email), name, roles }, actor, KNOWN_SINCE)
  await authPool.query('update person set created_at = $2, zone = $3 where id = $1', [
    id,
    new Date(KNOWN_SINCE),
    zone,
  ])
  return id
}

export const ADMINISTRATOR: Role = { role: 'administrator', place: '' }

/** Delivery to a mail server by one sender, with short intervals. */
export function createDelivery(
  smtpUrl: string,
  { app, authPool }: Pick<TestDatabase, 'app' | 'authPool'>,
  changes: Partial<DeliveryOptions> = {},
): DeliveryOptions {
  const patience = { greetingMs: 1_000, answerMs: 1_000 }
  return {
    app,
    authPool,
    site: SITE,
    now: () => NOW,
    openTransport: (): MailTransport => openSmtpTransport(smtpUrl, patience),
    senders: 1,
    onFault: (sentence) => console.error(sentence),
    intervals: { pollingIntervalSeconds: 0.5, maintenanceIntervalSeconds: 1 },
    ...changes,
  }
}

/** Polls, and delivers until the queue is empty for now. */
export async function sendDue(delivery: DeliveryOptions): Promise<void> {
  const { app, authPool, now } = delivery
  await pollDueMail({ app, authPool, now: now() })
  await deliverUntil(
    delivery,
    `not exists (select from queue.job where name = 'mail'
    and (state = 'active' or (state < 'active' and start_after < now())))`,
  )
}

/** Delivers until a condition (SQL) holds. */
export async function deliverUntil(delivery: DeliveryOptions, condition: string): Promise<void> {
  const holds = async () => {
    const { rows } = await delivery.authPool.query<{ isSo: boolean }>(`select ${condition} as "isSo"`)
    return rows[0]?.isSo === true
  }
  if (await holds()) return
  const stop = await startDelivery(delivery)
  try {
    while (!(await holds())) await new Promise((resolve) => setTimeout(resolve, 25))
  } finally {
    await stop()
  }
}

/** Ends the delay of all retries. */
export async function expireRetryDelays({ owner }: Pick<TestDatabase, 'owner'>): Promise<void> {
  await owner.query(`update queue.job set start_after = now() - interval '1 ms' where state = 'retry'`)
}

/** Dead senders are found after three seconds (else a quarter of an hour), and retries start after one or two (else a minute). */
export async function shortenRetries({ owner }: Pick<TestDatabase, 'owner'>): Promise<void> {
  const boss = new PgBoss({
    schema: 'queue',
    db: { executeSql: (text, values) => owner.query(text, values) },
  })
  await boss.updateQueue('mail', { name: 'mail', expireInSeconds: 3, retryDelay: 1, retryBackoff: true })
}

/** Deletes every mail with its job. */
export async function deleteMails({ owner }: Pick<TestDatabase, 'owner'>): Promise<void> {
  await owner.query('delete from digest_mail; delete from digest_handover; delete from queue.job')
}

/** The state of each mail of a week, by address. */
export async function readMailStates({ authPool }: Pick<TestDatabase, 'authPool'>, week = WEEK) {
  const { rows } = await authPool.query<{ email: string; state: string; said: string | null; tries: number }>(
    `select email, state, said, tries from digest_mail join person on id = person_id where occasion = $1 order by email`,
    [week],
  )
  return rows
}

/** Withdraws the dispatches of two makers, so that each plant has something to do. */
export async function withdrawDispatches({ app }: Pick<TestDatabase, 'app'>, now: number): Promise<void> {
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
