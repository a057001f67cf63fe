import type { Names } from '@/lib/judgement/dueText'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import type { RejectedAddress } from '@/lib/store/mail/mailStatus'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { DigestWork } from './digestWork'
import { AUDIENCES, compareDay, compareUrgency, type DigestItem } from './item'

/** One person's mail for one ISO week, before it is put into words. */
export interface Digest {
  week: string
  person: DigestPerson
  /** ms UTC. */
  asOf: number
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  alsoFor: readonly string[]
  /** It is (also) for someone who sees every sample. */
  seesAll: boolean
  /** What its readers are between them. */
  reader: ActingRoles
  names: Names
  /** Zones of plants and laboratories by code. */
  zones: ReadonlyMap<string, string>
  /** What is theirs to do, most pressing first. */
  toDo: DigestItem[]
  /** What is overdue or at risk and others' to do, in the same order. */
  others: DigestItem[]
  /** Since the last mail: keys of what it did not name, and how many that it named are overdue no more. Null where there was none. */
  changed: { since: number; added: ReadonlySet<string>; settledCount: number } | null
  setAsideCount: number
  upcoming: DigestItem[]
  /** For an administrator: who has something overdue to do and has not acted for two weeks. */
  inactive: readonly string[]
  /** For an administrator: whose mail is refused. */
  badAddresses: readonly Pick<RejectedAddress, 'name' | 'address' | 'said'>[]
}

/** What only administrators are told of people. */
export type PeopleReport = Pick<Digest, 'inactive' | 'badAddresses'>

export interface DigestInput {
  week: string
  asOf: number
  person: DigestPerson
  /** Whose mail this one carries too. */
  carried: readonly DigestPerson[]
  /** All that the reader may see. */
  work: DigestWork
  last: { at: number; named: readonly string[] } | null
  /** Whether that is every sample. */
  seesAll: boolean
  /** Null where it is for no administrator. */
  peopleReport: PeopleReport | null
}

/** Chooses and orders what a person is told. Null where nothing is overdue and they want no mail then. */
export function buildDigest(basis: DigestInput): Digest | null {
  const { week, asOf, person, carried, work, last, seesAll, peopleReport: ofPeople } = basis
  const { items, names, zones, setAside: aside } = work
  const readers = [person, ...carried]
  const isTheirs = ({ actor }: DigestItem) => readers.some((one) => isResponsible(actor, one))
  const isToldOfOthers = ({ reason: told }: DigestItem) => {
    const { forOthers: ofOthers } = AUDIENCES[told.kind]
    return ofOthers === 'everyone' || (ofOthers === 'who sees all' && seesAll)
  }
  const pressing = items.filter(({ reason: told }) => !AUDIENCES[told.kind].isUpcoming)
  const toDo = pressing.filter(isTheirs).sort(compareUrgency)
  const others = pressing.filter((item) => isToldOfOthers(item) && !isTheirs(item)).sort(compareUrgency)
  const hasOverdue = [...toDo, ...(seesAll ? others : [])].some(isOverdue)
  if (!person.wantsQuietLine && !hasOverdue) return null
  return {
    week,
    person,
    asOf,
    alsoFor: carried.map(({ name }) => name),
    seesAll,
    reader: {
      isAdministrator: readers.some(({ isAdministrator }) => isAdministrator),
      plants: readers.flatMap(({ plants }) => plants),
      laboratories: readers.flatMap(({ laboratories }) => laboratories),
    },
    names,
    zones,
    toDo,
    others,
    changed: last && compareWithLast(last, [...toDo, ...(seesAll ? others : [])], aside),
    setAsideCount: aside.size,
    upcoming: items
      .filter((item) => AUDIENCES[item.reason.kind].isUpcoming && (isToldOfOthers(item) || isTheirs(item)))
      .sort(compareDay),
    inactive: ofPeople?.inactive ?? [],
    badAddresses: ofPeople?.badAddresses ?? [],
  }
}

/** Whether an item should have been done by now, and not merely waits, comes or is at risk. */
export function isOverdue({ reason: told }: DigestItem): boolean {
  return told.kind === 'overdue'
}

function compareWithLast(
  last: NonNullable<DigestInput['last']>,
  items: readonly DigestItem[],
  aside: ReadonlySet<string>,
): Digest['changed'] {
  const named = new Set(last.named)
  const now = new Set(items.filter(isOverdue).map(({ key }) => key))
  return {
    since: last.at,
    added: new Set([...now].filter((key) => !named.has(key))),
    settledCount: last.named.filter((key) => !now.has(key) && !aside.has(key)).length,
  }
}

/** Keys of all that a digest tells to be overdue, for the next one to compare with. */
export function listOverdueKeys({ toDo, others, seesAll }: Digest): string[] {
  return [...toDo, ...(seesAll ? others : [])].filter(isOverdue).map(({ key }) => key)
}
