import { includesScope, toScope } from '@/lib/policy/scope'
import type { DigestPerson } from '@/lib/store/people/digestPeople'

/**
 * Whose mail goes with whose. The mail of a person who is away goes to their stand-in, and of several people with one mailbox to
 * the first. A stand-in who is away too, has left, or may not see everything that the other has to do gets nothing: the mail then
 * goes to the person who is away. `today` is the local day of each, as year-month-day.
 * @returns the id of the person with whose mail it goes, by the id of the person.
 */
export function groupMailboxes(
  people: readonly DigestPerson[],
  today: (person: DigestPerson) => string,
): Map<string, string> {
  const present = new Map(people.filter((one) => !isAway(one, today(one))).map((one) => [one.id, one]))
  const carriers = new Map<string, string>()
  const firstByAddress = new Map<string, string>()
  for (const person of people) {
    const standIn = present.has(person.id) ? undefined : present.get(person.standIn?.id ?? '')
    if (standIn?.isWanted && includesScope(toScope(standIn), toScope(person)))
      carriers.set(person.id, standIn.id)
  }
  for (const person of people) {
    if (carriers.has(person.id) || !person.isWanted) continue
    const first = firstByAddress.get(getMailAddress(person))
    if (first === undefined) firstByAddress.set(getMailAddress(person), person.id)
    else carriers.set(person.id, first)
  }
  // A stand-in's own mail may go with the first of their mailbox: then both go there.
  for (const [id, carrier] of carriers) carriers.set(id, carriers.get(carrier) ?? carrier)
  return carriers
}

/** A mailbox may be shared, and may be one person's own address. */
export function getMailAddress({ mailbox, email }: Pick<DigestPerson, 'mailbox' | 'email'>): string {
  return mailbox ?? email
}

function isAway({ standIn }: DigestPerson, today: string): boolean {
  return standIn !== null && standIn.from <= today && today <= standIn.until
}
