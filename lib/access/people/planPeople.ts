import { createHash } from 'node:crypto'
import { type Message, message } from '@/lib/messages/message'
import { listRoles, NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import type { KnownPerson } from '@/lib/store/people/people'

/** What a list says about one person; undefined fields stay unchanged. */
export interface PersonRow {
  /** The first line about this person, from 1. */
  line: number
  email: string
  name?: string
  zone?: string
  /** IANA zone of a new person if the list gives none. */
  zoneIfNew: string
  /** All roles the person has afterwards. */
  roles?: Roles
  hasLeft?: boolean
}

/** A fault in one line of a list (from 1), and how to correct it. */
export interface PersonFault {
  line: number
  detail: Message
}

/** A parsed list of people. */
export interface PeopleList {
  people: readonly PersonRow[]
  faults: readonly PersonFault[]
  /** The first line that cannot be attributed to a person; null if there is none. */
  unknownLine: number | null
}

/** The planned state of a person. `id` and `before` are null for someone new. */
export interface PlannedPerson {
  id: string | null
  before: KnownPerson | null
  after: KnownPerson
}

/** What a list would change. */
export interface PeoplePlan {
  added: PlannedPerson[]
  changed: PlannedPerson[]
  unchanged: PlannedPerson[]
  refused: PersonFault[]
  /** SHA-256 of the plan, by which a person confirms what was shown. */
  digest: string
}

/** Plans the changes of a list of people; those it does not name stay as they are. */
export function planPeople(
  known: readonly (KnownPerson & { id: string })[],
  written: PeopleList,
): PeoplePlan {
  const byEmail = new Map(known.map((one) => [one.email, one]))
  const refused = [...written.faults]
  let planned = written.people.flatMap((one) => {
    const found = byEmail.get(one.email) ?? null
    const fault = found ? findRoleLossFault(found, one, written.unknownLine) : findNewPersonFault(one)
    if (fault !== null) {
      refused.push({ line: one.line, detail: fault })
      return []
    }
    return [{ line: one.line, ...planPerson(found, one) }]
  })
  if (!hasAdministrator(known, planned)) {
    const isLoss = ({ before, after }: PlannedPerson) =>
      before !== null && isAdministrator(before) && !isAdministrator(after)
    for (const { line, after } of planned.filter(isLoss))
      refused.push({
        line,
        detail: message('people.fault.noAdministrator', { email: after.email }),
      })
    planned = planned.filter((one) => !isLoss(one))
  }
  const plan = {
    added: planned.filter(({ before }) => before === null).map(omitLine),
    changed: planned
      .filter((one) => one.before !== null && !isSamePerson(one.before, one.after))
      .map(omitLine),
    unchanged: planned
      .filter((one) => one.before !== null && isSamePerson(one.before, one.after))
      .map(omitLine),
    refused: refused.sort((a, b) => a.line - b.line),
  }
  return { ...plan, digest: createHash('sha256').update(JSON.stringify(plan)).digest('hex') }
}

const omitLine = ({ id, before, after }: PlannedPerson): PlannedPerson => ({ id, before, after })

function findNewPersonFault({ email, name }: PersonRow): Message | null {
  return name === undefined ? message('people.fault.noName', { email }) : null
}

/** Refuses to take a role away while an unreadable line may be about the same person. */
function findRoleLossFault(found: KnownPerson, { email, roles }: PersonRow, unknownLine: number | null) {
  if (unknownLine === null || roles === undefined) return null
  const left = new Set(listRoleKeys(roles))
  return listRoleKeys(found.roles).every((key) => left.has(key))
    ? null
    : message('people.fault.roleLoss', { email, line: unknownLine })
}

function planPerson(found: (KnownPerson & { id: string }) | null, one: PersonRow): PlannedPerson {
  const before = found && toKnownPerson(found)
  return {
    id: found?.id ?? null,
    before,
    after: {
      email: one.email,
      name: one.name ?? before?.name ?? '',
      zone: one.zone ?? before?.zone ?? one.zoneIfNew,
      roles: one.roles ?? before?.roles ?? NO_ROLES,
      hasLeft: one.hasLeft ?? before?.hasLeft ?? false,
    },
  }
}

/** Reduces a person to the fields that can change. */
export function toKnownPerson({ email, name, zone, roles, hasLeft }: KnownPerson): KnownPerson {
  return { email, name, zone, roles, hasLeft }
}

/** Whether a person is an administrator and has not left. */
export function isAdministrator({ roles, hasLeft }: KnownPerson): boolean {
  return roles.isAdministrator && !hasLeft
}

function hasAdministrator(
  known: readonly (KnownPerson & { id: string })[],
  planned: readonly PlannedPerson[],
): boolean {
  const named = new Set(planned.map(({ id }) => id))
  return (
    planned.some(({ after }) => isAdministrator(after)) ||
    known.some((one) => !named.has(one.id) && isAdministrator(one))
  )
}

function isSamePerson(a: KnownPerson, b: KnownPerson): boolean {
  const text = (one: KnownPerson) =>
    JSON.stringify([one.name, one.zone, one.hasLeft, listRoleKeys(one.roles).sort()])
  return text(a) === text(b)
}

function listRoleKeys(roles: Roles): string[] {
  return listRoles(roles).map(({ role, place }) => `${role} ${place}`)
}
