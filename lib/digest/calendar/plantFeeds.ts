import { randomBytes } from 'node:crypto'
import { getScope, type Person } from '@/lib/policy/principal'
import * as feeds from '@/lib/store/people/calendarFeeds'
import { hashSecret } from '@/lib/store/people/keys'
import { OneTimeSecrets } from '@/lib/store/people/oneTimeSecrets'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSiteUrl } from '@/lib/store/site'

/** The plants whose calendars a person may share and revoke; null: every plant's. */
export function getFeedPlants(person: Person): readonly string[] | null {
  const scope = getScope(person)
  return scope === 'all' ? null : scope.plants
}

const hasFeedAccess = (person: Person, plant: string) => getFeedPlants(person)?.includes(plant) ?? true

/** The feeds that a person may see, and the plants for which they may create one. */
export async function readFeeds(person: Person) {
  const plants = getFeedPlants(person)
  const [listed, named] = await Promise.all([
    feeds.listFeeds(getAuthPool(), plants),
    feeds.listNamedPlants(getAppPool(), plants),
  ])
  return { feeds: listed, plants: named }
}

export interface NewFeed {
  plant: string
  address: string
}

const shared = globalThis as typeof globalThis & { holdfastMadeFeeds?: OneTimeSecrets<NewFeed> }

/** On `globalThis`, because Next loads a module more than once in a process. */
function newFeedSecrets(): OneTimeSecrets<NewFeed> {
  shared.holdfastMadeFeeds ??= new OneTimeSecrets<NewFeed>()
  return shared.holdfastMadeFeeds
}

/**
 * Creates a secret address for a plant's calendar. @returns the ticket that shows it once; null if the plant is unknown or not
 * the person's; 'enough' if they have the most feeds that a person may have.
 */
export async function createFeed(
  person: Person,
  plant: string,
  actor: Actor,
): Promise<string | 'enough' | null> {
  if (!hasFeedAccess(person, plant) || (await feeds.findPlantPlace(getAppPool(), plant)) === null) return null
  const now = Date.now()
  const secret = randomBytes(32).toString('base64url')
  const id = randomBytes(9).toString('base64url')
  const feed = { id, plant, hash: hashSecret(secret), personId: person.id }
  if (!(await feeds.insertFeed(getAuthPool(), feed, actor, now))) return 'enough'
  return newFeedSecrets().keep(person.id, { plant, address: `${getSiteUrl()}/api/calendar/${secret}` }, now)
}

/** The address of a ticket, which then is used up. */
export const consumeNewFeed = (person: Person, ticket: string) =>
  newFeedSecrets().consume(person.id, ticket, Date.now())

/** Revokes a feed, if it is one that the person may revoke. @returns whether there was one. */
export const revokeFeed = (person: Person, id: string, actor: Actor) =>
  feeds.revokeFeed(getAuthPool(), id, getFeedPlants(person), actor, Date.now())
