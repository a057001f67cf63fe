import type pg from 'pg'
import { isResponsible } from '@/lib/judgement/responsibility'
import { findKeyWarnings } from '@/lib/policy/keyWarnings'
import { type Scope, toScope } from '@/lib/policy/scope'
import { formatLocalDate } from '@/lib/schedule/sendTime'
import { readBackupStatus } from '@/lib/store/backup/backupStatus'
import { type ClaimedMail, readLastOverdueKeys } from '@/lib/store/mail/digestMails'
import { listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import { type DigestPerson, findInactivePeople, listDigestPeople } from '@/lib/store/people/digestPeople'
import { listKeys } from '@/lib/store/people/keys'
import { formatScope } from '@/lib/store/scope/scope'
import { composeAlert } from '../alerts/alertMail'
import { parseOccasion } from '../alerts/alertOccasion'
import { type AdministratorReport, buildDigest, type Digest, isOverdue } from '../weekly/digest'
import {
  buildStopUrl,
  composeDigestMail,
  type MailSite,
  type OutgoingMail,
  parseAddress,
  renderMessage,
} from '../weekly/digestMail'
import { type DigestWork, readDigestWork } from '../weekly/digestWork'
import { getMailAddress, groupMailboxes } from '../weekly/mailboxGroups'

export interface ComposerContext {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`. */
  authPool: pg.Pool
  site: MailSite
  /** As of when, ms UTC. */
  now: number
}

/**
 * Composes mails as of one instant, each in its reader's language. Work is read once for all people with the same scope.
 */
export function createComposer({ app, authPool, site, now }: ComposerContext) {
  const workByScope = new Map<string, Promise<DigestWork>>()
  const readWork = (scope: Scope) => {
    const key = formatScope(scope)
    const work = workByScope.get(key) ?? readDigestWork(app, scope, now)
    workByScope.set(key, work)
    return work
  }
  let everyone: Promise<Everyone> | undefined
  const getEveryone = () => {
    everyone ??= readEveryone(authPool, now)
    return everyone
  }
  let administratorReport: Promise<AdministratorReport> | undefined
  const getAdministratorReport = () => {
    administratorReport ??= readAdministratorReport()
    return administratorReport
  }
  async function readAdministratorReport(): Promise<AdministratorReport> {
    const [{ people }, work, bad, backup, keys] = await Promise.all([
      getEveryone(),
      readWork('all'),
      listRejectedAddresses(authPool),
      readBackupStatus(app),
      listKeys(authPool),
    ])
    const inactive = await listInactivePeople(people, work, app, now)
    return { inactive, badAddresses: bad, backup, keyWarnings: findKeyWarnings(keys, now) }
  }

  /** A person's digest of a week; null if they want none or it would be empty. */
  async function digest(personId: string, week: string, dueAt: number): Promise<Digest | null> {
    const { byId, carriedBy } = await getEveryone()
    const person = byId.get(personId)
    if (!person?.isWanted) return null
    const carried = carriedBy.get(personId) ?? []
    // Everyone with the same mailbox reads the mail, so it may hold what any of them may see.
    const together = [person, ...carried.filter((one) => getMailAddress(one) === getMailAddress(person))]
    const scope = toScope(...together)
    return buildDigest({
      week,
      asOf: now,
      person,
      carried,
      work: await readWork(scope),
      last: await readLastOverdueKeys(authPool, personId, dueAt),
      seesAll: scope === 'all',
      administratorReport: together.some(({ isAdministrator }) => isAdministrator)
        ? await getAdministratorReport()
        : null,
    })
  }

  async function compose(claimed: ClaimedMail): Promise<OutgoingMail | null> {
    const { personId, occasion, dueAt } = claimed
    if (parseOccasion(occasion))
      return composeAlert({ app, authPool, site, now }, claimed, (await getEveryone()).byId.get(personId))
    const made = await digest(personId, occasion, dueAt)
    if (!made) return null
    const mail = composeDigestMail(made, site)
    const stopUrl = buildStopUrl(site, personId, made.person.tokenSerial)
    const message = await renderMessage(mail, made.person.name, site, now, stopUrl)
    return { mail, wire: { from: parseAddress(site.from), to: mail.address, message } }
  }

  return { digest, compose }
}

interface Everyone {
  people: DigestPerson[]
  byId: Map<string, DigestPerson>
  carriedBy: Map<string, DigestPerson[]>
}

async function readEveryone(authPool: pg.Pool, now: number): Promise<Everyone> {
  const people = await listDigestPeople(authPool)
  const byId = new Map(people.map((person) => [person.id, person]))
  const carriedBy = new Map<string, DigestPerson[]>()
  for (const [id, carrier] of groupMailboxes(people, ({ zone }) => formatLocalDate(now, zone)))
    carriedBy.set(carrier, [...(carriedBy.get(carrier) ?? []), byId.get(id) as DigestPerson])
  return { people, byId, carriedBy }
}

async function listInactivePeople(
  people: readonly DigestPerson[],
  { items, names }: DigestWork,
  app: pg.Pool,
  now: number,
): Promise<AdministratorReport['inactive']> {
  const overdue = items.filter(isOverdue)
  const concerned = people.filter(
    (person) => !person.isAdministrator && overdue.some(({ actor }) => isResponsible(actor, person)),
  )
  const quiet = await findInactivePeople(
    app,
    concerned.map(({ id }) => id),
    now,
  )
  return concerned
    .filter(({ id }) => quiet.has(id))
    .map(({ name, plants, laboratories }) => {
      const places = [...plants, ...laboratories].map((code) => names.places.get(code) ?? code)
      return { name, places }
    })
}
