import type { DigestPerson } from '@/lib/store/digestPeople'
import { byPressing, type DigestItem } from './item'

/** One person's mail for one ISO week, before it is put into words. */
export interface Digest {
  week: string
  person: DigestPerson
  /** ms UTC. */
  asOf: number
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  toDo: DigestItem[]
  /** Since the last mail: what it did not name, and how many that it named are done. Null where there was none. */
  changed: { since: number; added: DigestItem[]; doneCount: number } | null
  coming: DigestItem[]
  /** For an administrator: who has something overdue to do and has not acted for two weeks. */
  quiet: readonly string[]
}

export interface DigestBasis {
  week: string
  asOf: number
  person: DigestPerson
  /** Whose mail this one carries too. */
  carried: readonly DigestPerson[]
  /** All that the reader may see. */
  items: readonly DigestItem[]
  last: { at: number; named: readonly string[] } | null
  quiet: readonly string[]
}

/** Chooses and orders what a person is told. Null where nothing is overdue and they want no mail then. */
export function digestOf({ week, asOf, person, carried, items, last, quiet }: DigestBasis): Digest | null {
  const theirs = items.filter((item) => [person, ...carried].some((one) => isTheirs(item, one)))
  const toDo = theirs.filter(({ isComing }) => !isComing).sort(byPressing)
  if (!person.wantsQuietLine && !toDo.some(({ isOverdue }) => isOverdue)) return null
  const coming = theirs.filter(({ isComing }) => isComing).sort(byPressing)
  return {
    week,
    person,
    asOf,
    standsFor: carried.map(({ name }) => name),
    toDo,
    changed: last && changedSince(last, theirs),
    coming,
    quiet: person.isAdministrator ? quiet : [],
  }
}

/** Whether something is a person's to do; an administrator answers for all of it. */
export function isTheirs({ at }: DigestItem, person: DigestPerson): boolean {
  if (person.isAdministrator) return true
  return (at.kind === 'plant' ? person.plants : person.laboratories).includes(at.code)
}

function changedSince(last: NonNullable<DigestBasis['last']>, theirs: readonly DigestItem[]) {
  const named = new Set(last.named)
  const now = new Set(theirs.map(({ key }) => key))
  return {
    since: last.at,
    added: theirs.filter(({ key, isComing }) => !isComing && !named.has(key)).sort(byPressing),
    doneCount: last.named.filter((key) => !now.has(key)).length,
  }
}

/** Keys of all that a digest names, for the next one to compare with. */
export function namedIn({ toDo, coming }: Digest): string[] {
  return [...toDo, ...coming].map(({ key }) => key)
}
