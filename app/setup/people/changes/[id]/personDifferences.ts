import type { KnownPerson } from '@/lib/store/people/personRows'
import { roleWords } from '../../../personState'

/** What a person is otherwise than before, a line each; all of it where they are new. */
export function personDifferences(before: KnownPerson | null, after: KnownPerson): string[] {
  const [old, fresh] = [before && wordsOf(before), wordsOf(after)]
  return Object.entries(fresh).flatMap(([name, words]) => {
    const was = old?.[name as keyof typeof fresh]
    if (was === undefined) return words === 'may sign in' ? [] : [`${name}: ${words}`]
    return was === words ? [] : [`${name}: ${was} → ${words}`]
  })
}

function wordsOf({ name, zone, roles, hasLeft }: KnownPerson) {
  return {
    name,
    zone,
    is: roleWords(roles),
    'sign-in': hasLeft ? 'has left, may sign in no more' : 'may sign in',
  }
}
