import type { AlertKind } from '@/lib/judgement/alertKinds'
import { isResponsible } from '@/lib/judgement/responsibility'
import { includesSample, toScope } from '@/lib/policy/scope'
import type { Actor } from '@/lib/schedule/act'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { SamplePlace } from '@/lib/store/read/digest/sampleChanges'
import { getMailAddress, groupMailboxes } from '../weekly/mailboxGroups'

/** A person with an alert; `carriedBy` is the person with whose mail it goes. */
export interface AlertRecipient {
  personId: string
  carriedBy: string | null
}

/**
 * The recipients of an alert about a sample that changed at `at` (ms UTC): people who see it and chose the kind before then, and if
 * `toldTo` says who is told, only these. A person's alerts go to their stand-in while they are away, if that one sees the sample, and of several people with one mailbox to
 * the first. `today` is the local day of each, as year-month-day.
 */
export function findAlertRecipients(
  people: readonly DigestPerson[],
  today: (person: DigestPerson) => string,
  kind: AlertKind,
  place: SamplePlace,
  at: number,
  toldTo: readonly Actor[] | null = null,
): AlertRecipient[] {
  const isTold = (person: DigestPerson) => toldTo?.some((actor) => isResponsible(actor, person)) ?? true
  const able = people
    .filter((person) => !person.alertsAreStopped && includesSample(toScope(person), place))
    .map((person) => ({ ...person, isWanted: true }))
  const concerned = able.filter(
    (person) => (person.alerts[kind] ?? Number.POSITIVE_INFINITY) <= at && isTold(person),
  )
  const standIns = groupMailboxes(
    // Each has their own address here: mailboxes are grouped below, among those who get the alert.
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
