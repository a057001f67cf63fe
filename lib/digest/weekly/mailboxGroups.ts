import { includesScope, toScope } from '@/lib/policy/scope'
import type { DigestPerson } from '@/lib/store/people/digestPeople'

/**
 * Whose mail goes as part of whose: of those who are away to their stand-in, and of several with one mailbox to the
 * first of them. `today` is the local day of each, as year-month-day. A stand-in who is away too, or gone, or does not see
 * all that the other has to do, carries nothing: then the mail goes to who is away.
 * @returns the id of who carries, by the id of who is carried.
 */
export function groupMailboxes(
  people: readonly DigestPerson[],
  today: (person: DigestPerson) => string,
): Map<string, string> {
  const present = new Map(people.filter((one) => !isAway(one, today(one))).map((one) => [one.id, one]))
  const carriers = new Map<string, string>()
  const firstOf = new Map<string, string>()
  for (const person of people) {
    const standIn = present.has(person.id) ? undefined : present.get(person.standIn?.id ?? '')
    if (standIn?.isWanted && includesScope(toScope(standIn), toScope(person)))
      carriers.set(person.id, standIn.id)
  }
  for (const person of people) {
    if (carriers.has(person.id) || !person.isWanted) continue
    const first = firstOf.get(getMailAddress(person))
    if (first === undefined) firstOf.set(getMailAddress(person), person.id)
    else carriers.set(person.id, first)
  }
  // Who was to carry may be carried by the mailbox's first: then that one carries both.
  for (const [id, carrier] of carriers) carriers.set(id, carriers.get(carrier) ?? carrier)
  return carriers
}

/** Where a person's mail goes: to a mailbox that several may share, which may be the own address of one of them. */
export function getMailAddress({ mailbox, email }: Pick<DigestPerson, 'mailbox' | 'email'>): string {
  return mailbox ?? email
}

function isAway({ standIn }: DigestPerson, today: string): boolean {
  return standIn !== null && standIn.from <= today && today <= standIn.until
}
