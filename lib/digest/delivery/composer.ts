import type pg from 'pg'
import { hasToAct } from '@/lib/judgement/hasToAct'
import { type Scope, toScope } from '@/lib/policy/scope'
import { localDate } from '@/lib/schedule/sendAt'
import { badAddresses } from '@/lib/store/mail/digestFates'
import { type ClaimedMail, lastNamed } from '@/lib/store/mail/digestMails'
import { type DigestPerson, digestPeople, quietPeople } from '@/lib/store/people/digestPeople'
import { scopeText } from '@/lib/store/scope/scope'
import { composeAtOnce } from '../alerts/atOnceMail'
import { readOccasion } from '../alerts/atOnceOccasion'
import { addressOf, carriersOf } from '../weekly/carriers'
import { type Digest, digestOf, isOverdue, type OfPeople } from '../weekly/digest'
import {
  bareAddress,
  type DigestSite,
  digestMail,
  type Outgoing,
  stopAddress,
  wireMessage,
} from '../weekly/digestMail'
import { type DigestWork, digestWork } from '../weekly/digestWork'

export interface ComposerBasis {
  /** Works as `holdfast_app`, and as `holdfast_door`. */
  app: pg.Pool
  door: pg.Pool
  site: DigestSite
  /** As of when, ms UTC. */
  now: number
}

/** Makes digests as of one instant. What several people may see alike is read once for all of them. */
export function composer({ app, door, site, now }: ComposerBasis) {
  const seen = new Map<string, Promise<DigestWork>>()
  const workOf = (scope: Scope) => {
    const key = scopeText(scope)
    const found = seen.get(key) ?? digestWork(app, scope, now)
    seen.set(key, found)
    return found
  }
  let everyone: Promise<Everyone> | undefined
  const all = () => {
    everyone ??= readEveryone(door, now)
    return everyone
  }
  let ofPeople: Promise<OfPeople> | undefined
  const peopleWords = () => {
    ofPeople ??= readOfPeople()
    return ofPeople
  }
  async function readOfPeople(): Promise<OfPeople> {
    const [{ people }, work, bad] = await Promise.all([all(), workOf('all'), badAddresses(door)])
    return { quiet: await quietOf(people, work, app, now), badAddresses: bad }
  }

  /** What a person is told in a week; null where they want none or nothing is to be said. */
  async function digest(personId: string, week: string, dueAt: number): Promise<Digest | null> {
    const { byId, carried: carriedBy } = await all()
    const person = byId.get(personId)
    if (!person?.isWanted) return null
    const carried = carriedBy.get(personId) ?? []
    // A mail may hold what those may see who have theirs sent to the same mailbox.
    const together = [person, ...carried.filter((one) => addressOf(one) === addressOf(person))]
    const scope = toScope(...together)
    return digestOf({
      week,
      asOf: now,
      person,
      carried,
      work: await workOf(scope),
      last: await lastNamed(door, personId, dueAt),
      seesAll: scope === 'all',
      ofPeople: together.some(({ isAdministrator }) => isAdministrator) ? await peopleWords() : null,
    })
  }

  async function compose(claimed: ClaimedMail): Promise<Outgoing | null> {
    const { personId, occasion, dueAt } = claimed
    if (readOccasion(occasion))
      return composeAtOnce({ app, door, site, now }, claimed, (await all()).byId.get(personId))
    const made = await digest(personId, occasion, dueAt)
    if (!made) return null
    const mail = digestMail(made, site)
    const stopUrl = stopAddress(site, personId, made.person.tokenSerial)
    const message = await wireMessage(mail, made.person.name, site, now, stopUrl)
    return { mail, wire: { from: bareAddress(site.from), to: mail.address, message } }
  }

  return { digest, compose }
}

interface Everyone {
  people: DigestPerson[]
  byId: Map<string, DigestPerson>
  carried: Map<string, DigestPerson[]>
}

async function readEveryone(door: pg.Pool, now: number): Promise<Everyone> {
  const people = await digestPeople(door)
  const byId = new Map(people.map((person) => [person.id, person]))
  const carried = new Map<string, DigestPerson[]>()
  for (const [id, carrier] of carriersOf(people, ({ zone }) => localDate(now, zone)))
    carried.set(carrier, [...(carried.get(carrier) ?? []), byId.get(id) as DigestPerson])
  return { people, byId, carried }
}

async function quietOf(
  people: readonly DigestPerson[],
  { items, names }: DigestWork,
  app: pg.Pool,
  now: number,
): Promise<string[]> {
  const overdue = items.filter(isOverdue)
  const concerned = people.filter(
    (person) => !person.isAdministrator && overdue.some(({ actor }) => hasToAct(actor, person)),
  )
  const quiet = await quietPeople(
    app,
    concerned.map(({ id }) => id),
    now,
  )
  return concerned
    .filter(({ id }) => quiet.has(id))
    .map(({ name, plants, laboratories }) => {
      const places = [...plants, ...laboratories].map((code) => names.places.get(code) ?? code)
      return `${name} (${places.join('; ')})`
    })
}
