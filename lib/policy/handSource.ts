import type { Person } from './principal'

const HAND_PREFIX = 'hand '

/** The source under which a person reports by hand. No key and no other person may use it. */
export function handSource(person: Pick<Person, 'id'>): string {
  return HAND_PREFIX + person.id
}

/** The id of the person who reports under this source by hand; null for any other source. */
export function getHandPersonId(source: string): string | null {
  return source.startsWith(HAND_PREFIX) ? source.slice(HAND_PREFIX.length) : null
}

/** Whether a source is, or looks like, one for reports by hand. Keys may not use such a source. */
export function isHandSource(source: string): boolean {
  return /^\s*hand(\s|$)/i.test(source.normalize('NFKC'))
}
