import type { Person } from './principal'

/** Who has to do something: the programme, or a plant or a laboratory by its code. */
export type Doer = { by: 'programme' } | { by: 'plant' | 'laboratory'; code: string }

/** Whether something is a person's to do: the programme's an administrator's, a plant's or laboratory's its people's. */
export function isTheirs({ roles }: Person, doer: Doer): boolean {
  if (doer.by === 'programme') return roles.isAdministrator
  return (doer.by === 'plant' ? roles.plants : roles.laboratories).includes(doer.code)
}

/** Whether a person may leave something overdue aside: an administrator anything, others what is theirs to do. */
export function mayLeaveAside(person: Person, doer: Doer): boolean {
  return person.roles.isAdministrator || isTheirs(person, doer)
}
