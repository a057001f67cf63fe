import type { Names } from '@/lib/judgement/dueText'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import { compareUrgency } from '@/lib/judgement/urgency'
import type { KeyWarnings } from '@/lib/policy/keyWarnings'
import { type BackupStatus, isBackupOverdue } from '@/lib/store/backup/backupStatus'
import type { RejectedAddress } from '@/lib/store/mail/mailStatus'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { ListedKey } from '@/lib/store/people/keys'
import type { DigestWork } from './digestWork'
import { AUDIENCES, compareDay, type DigestItem } from './item'

/** The content of one person's mail for one ISO week. */
export interface Digest {
  week: string
  person: DigestPerson
  /** ms UTC. */
  asOf: number
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  alsoFor: readonly string[]
  /** Whether one of its readers sees every sample. */
  seesAll: boolean
  /** The roles of its readers together. */
  reader: ActingRoles
  names: Names
  /** Zones of plants and laboratories by code. */
  zones: ReadonlyMap<string, string>
  /** What is theirs to do, most urgent first. */
  toDo: DigestItem[]
  /** What is overdue or at risk with others, in the same order. */
  others: DigestItem[]
  /** Since the last mail: keys of what is new, and how many of those it named are no longer overdue. Null if there was no mail. */
  changed: { since: number; added: ReadonlySet<string>; settledCount: number } | null
  setAsideCount: number
  upcoming: DigestItem[]
  /** Shown to administrators: people with something overdue who have not acted for two weeks, and their places. */
  inactive: readonly { name: string; places: readonly string[] }[]
  /** Shown to administrators: people whose mail is refused. */
  badAddresses: readonly Pick<RejectedAddress, 'name' | 'address' | 'said'>[]
  /** Shown to administrators; null to all others. */
  backup: BackupStatus | null
  /** Shown to administrators; null to all others. */
  keyWarnings: KeyWarnings<ListedKey> | null
}

/** What only administrators see. */
export type AdministratorReport = Pick<Digest, 'inactive' | 'badAddresses'> & {
  backup: BackupStatus
  keyWarnings: KeyWarnings<ListedKey>
}

export interface DigestInput {
  week: string
  asOf: number
  person: DigestPerson
  /** Others whose mail goes with this one. */
  carried: readonly DigestPerson[]
  /** Everything the reader may see. */
  work: DigestWork
  last: { at: number; named: readonly string[] } | null
  /** Whether `work` is of every sample. */
  seesAll: boolean
  /** Null if no reader is an administrator. */
  administratorReport: AdministratorReport | null
}

/** Chooses and orders the content of a person's mail; null if nothing (a backup neither) is overdue and they want no mail then. */
export function buildDigest(input: DigestInput): Digest | null {
  const { week, asOf, person, carried, work, last, seesAll, administratorReport } = input
  const { items, names, zones, setAside } = work
  const readers = [person, ...carried]
  const isTheirs = ({ actor }: DigestItem) => readers.some((one) => isResponsible(actor, one))
  const isShownForOthers = ({ reason }: DigestItem) => {
    const { forOthers } = AUDIENCES[reason.kind]
    return forOthers === 'everyone' || (forOthers === 'who sees all' && seesAll)
  }
  const current = items.filter(({ reason }) => !AUDIENCES[reason.kind].isUpcoming)
  const toDo = current.filter(isTheirs).sort(compareUrgency)
  const others = current.filter((item) => isShownForOthers(item) && !isTheirs(item)).sort(compareUrgency)
  const hasOverdue = [...toDo, ...(seesAll ? others : [])].some(isOverdue)
  const backup = administratorReport?.backup ?? null
  const isQuiet = !hasOverdue && !(backup && isBackupOverdue(backup, asOf))
  if (!person.wantsQuietLine && isQuiet) return null
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
    changed: last && compareWithLast(last, [...toDo, ...(seesAll ? others : [])], setAside),
    setAsideCount: setAside.size,
    upcoming: items
      .filter((item) => AUDIENCES[item.reason.kind].isUpcoming && (isShownForOthers(item) || isTheirs(item)))
      .sort(compareDay),
    inactive: administratorReport?.inactive ?? [],
    badAddresses: administratorReport?.badAddresses ?? [],
    backup,
    keyWarnings: administratorReport?.keyWarnings ?? null,
  }
}

/** Whether an item should have been done by now. */
export function isOverdue({ reason }: DigestItem): boolean {
  return reason.kind === 'overdue'
}

function compareWithLast(
  last: NonNullable<DigestInput['last']>,
  items: readonly DigestItem[],
  setAside: ReadonlySet<string>,
): Digest['changed'] {
  const named = new Set(last.named)
  const now = new Set(items.filter(isOverdue).map(({ key }) => key))
  return {
    since: last.at,
    added: new Set([...now].filter((key) => !named.has(key))),
    settledCount: last.named.filter((key) => !now.has(key) && !setAside.has(key)).length,
  }
}

/** Keys of all that the mail names as overdue; the next one is compared with them. */
export function listOverdueKeys({ toDo, others, seesAll }: Digest): string[] {
  return [...toDo, ...(seesAll ? others : [])].filter(isOverdue).map(({ key }) => key)
}
