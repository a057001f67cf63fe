import type { AlertKind } from '@/lib/judgement/alertKinds'
import { includesSample, toScope } from '@/lib/policy/scope'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { SamplePlace } from '@/lib/store/read/digest/sampleChanges'
import { getMailAddress, groupMailboxes } from '../weekly/mailboxGroups'

/** Someone to be told something at once; `carriedBy` where they are told of it with another's mail. */
export interface AlertRecipient {
  personId: string
  carriedBy: string | null
}

/**
 * Who is told of a sample's turn that could be told at `at` (ms UTC): who sees it and chose so before then. While one is
 * away, their stand-in is told who sees it too, whatever these chose; of several with one mailbox, the first.
 * `today` is the local day of each, as year-month-day.
 */
export function findAlertRecipients(
  people: readonly DigestPerson[],
  today: (person: DigestPerson) => string,
  kind: AlertKind,
  place: SamplePlace,
  at: number,
): AlertRecipient[] {
  const able = people
    .filter((person) => !person.atOnceIsStopped && includesSample(toScope(person), place))
    .map((person) => ({ ...person, isWanted: true }))
  const concerned = able.filter(({ atOnce }) => atOnce[kind] !== undefined && atOnce[kind] <= at)
  const standIns = groupMailboxes(
    // Each with an address of their own: who is told of it is asked first, and then in which mailbox.
    able.map((person) => ({ ...person, mailbox: person.id })),
    today,
  )
  const wanting = new Set(concerned.map(({ id }) => id))
  const targets = new Set(concerned.map(({ id }) => standIns.get(id) ?? id))
  const firsts = new Map<string, string>()
  const readers = new Map<string, string>()
  for (const person of able.filter(({ id }) => targets.has(id))) {
    const first = firsts.get(getMailAddress(person)) ?? person.id
    firsts.set(getMailAddress(person), first)
    readers.set(person.id, first)
  }
  return able.flatMap(({ id }) => {
    if (!targets.has(id) && !wanting.has(id)) return []
    const target = targets.has(id) ? id : (standIns.get(id) as string)
    const reader = readers.get(target) as string
    return [{ personId: id, carriedBy: reader === id ? null : reader }]
  })
}
