import { randomBytes } from 'node:crypto'
import { type Person, scopeOf } from '@/lib/policy/principal'
import * as feeds from '@/lib/store/people/calendarFeeds'
import { hashOfSecret } from '@/lib/store/people/keys'
import { ShownOnce } from '@/lib/store/people/shownOnce'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { siteUrl } from '@/lib/store/site'

/** The plants whose calendars a person may have read and may revoke; null: every plant's. */
export function feedPlantsOf(person: Person): readonly string[] | null {
  const scope = scopeOf(person)
  return scope === 'all' ? null : scope.plants
}

const mayHave = (person: Person, plant: string) => feedPlantsOf(person)?.includes(plant) ?? true

/** The feeds that are a person's to see, and the plants for which they may make one. */
export async function feedsFor(person: Person) {
  const plants = feedPlantsOf(person)
  const [listed, named] = await Promise.all([
    feeds.listFeeds(sharedDoor(), plants),
    feeds.plantsNamed(sharedPool(), plants),
  ])
  return { feeds: listed, plants: named }
}

/** An address that was made just now. */
export interface MadeFeed {
  plant: string
  address: string
}

const shared = globalThis as typeof globalThis & { holdfastMadeFeeds?: ShownOnce<MadeFeed> }

/** Kept on `globalThis`, because Next loads a module more than once in one process. */
function madeFeeds(): ShownOnce<MadeFeed> {
  shared.holdfastMadeFeeds ??= new ShownOnce<MadeFeed>()
  return shared.holdfastMadeFeeds
}

/**
 * Makes a secret address for a plant's calendar; the ticket by which it can be seen once. Null where the plant is none
 * of the person's, as where there is none of its code; 'enough' where they have as many as one may.
 */
export async function makeFeedFor(
  person: Person,
  plant: string,
  actor: Actor,
): Promise<string | 'enough' | null> {
  if (!mayHave(person, plant) || (await feeds.plantPlace(sharedPool(), plant)) === null) return null
  const now = Date.now()
  const secret = randomBytes(32).toString('base64url')
  const id = randomBytes(9).toString('base64url')
  const feed = { id, plant, hash: hashOfSecret(secret), personId: person.id }
  if (!(await feeds.enterFeed(sharedDoor(), feed, actor, now))) return 'enough'
  return madeFeeds().keep(person.id, { plant, address: `${siteUrl()}/api/calendar/${secret}` }, now)
}

/** The address that a ticket stands for, shown this once. */
export const takeMadeFeed = (person: Person, ticket: string) =>
  madeFeeds().take(person.id, ticket, Date.now())

/** Revokes a feed that is a person's to revoke; whether there was one. */
export const revokeFeed = (person: Person, id: string, actor: Actor) =>
  feeds.revokeFeed(sharedDoor(), id, feedPlantsOf(person), actor, Date.now())
