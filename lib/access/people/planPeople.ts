import { createHash } from 'node:crypto'
import { listRoles, NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import type { KnownPerson } from '@/lib/store/people/people'

/** What a list says of one person; what it leaves unsaid is undefined. */
export interface PersonRow {
  /** The line on which the person first stands, from 1. */
  line: number
  email: string
  name?: string
  zone?: string
  /** In which someone new reads times if the list does not say. */
  zoneIfNew: string
  /** All that the person is afterwards. */
  roles?: Roles
  hasLeft?: boolean
}

/** Something wrong with one line of a list, from 1, and what would be right. */
export interface PersonFault {
  line: number
  detail: string
}

/** A list of people as it was read. */
export interface PeopleList {
  people: readonly PersonRow[]
  faults: readonly PersonFault[]
  /** The first line of which it is not known whom it is about; null where there is none. */
  unknownLine: number | null
}

/** What would become of a person. `id` and `before` are null for someone new. */
export interface PlannedPerson {
  id: string | null
  before: KnownPerson | null
  after: KnownPerson
}

/** What a list would do. */
export interface PeoplePlan {
  added: PlannedPerson[]
  changed: PlannedPerson[]
  unchanged: PlannedPerson[]
  refused: PersonFault[]
  /** Of all of it, so that what was shown can be confirmed. */
  digest: string
}

/** What a list of people would do to those who are there; whoever it does not name stays as they are. */
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
        detail: `No administrator would be left; make someone else one before ${after.email} is none.`,
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

function findNewPersonFault({ email, name }: PersonRow): string | null {
  return name === undefined ? `name: ${email} is new; write a name.` : null
}

/** Nobody loses a role because a line could not be read that may have been theirs. */
function findRoleLossFault(found: KnownPerson, { email, roles }: PersonRow, unknownLine: number | null) {
  if (unknownLine === null || roles === undefined) return null
  const left = new Set(listRoleKeys(roles))
  return listRoleKeys(found.roles).every((key) => left.has(key))
    ? null
    : `${email} would lose a role, and line ${unknownLine}, which cannot be read, may be about them; put that right first.`
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

/** A person without what they are not changed in. */
export function toKnownPerson({ email, name, zone, roles, hasLeft }: KnownPerson): KnownPerson {
  return { email, name, zone, roles, hasLeft }
}

/** Whether someone is an administrator who has not left. */
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
