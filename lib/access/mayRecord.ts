import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { KINDS, type Side } from '@/lib/custody/eventKinds'
import type { Person, Roles } from './principal'

const saidBy = (side: Side) => EVENT_KINDS.filter((kind) => KINDS[kind].saidBy.includes(side))

/** What a plant's contact says of its samples. */
const PLANT_SAYS = saidBy('plant')

/** What a laboratory's desk says of the samples bound for it. */
const LABORATORY_SAYS = saidBy('laboratory')

/** Where a sample is cut and where it goes, by their codes. */
export interface SampleEnds {
  plant: string
  laboratory: string
}

/**
 * Whether a person may record an event of a kind of a sample by hand: an administrator every kind, others what is
 * their own to say at either end. Who may not record a kind may neither correct nor withdraw one.
 */
export function mayRecord(person: Person, kind: EventKind, { plant, laboratory }: SampleEnds): boolean {
  const { isAdministrator, plants, laboratories } = person.roles
  return (
    isAdministrator ||
    (plants.includes(plant) && PLANT_SAYS.includes(kind)) ||
    (laboratories.includes(laboratory) && LABORATORY_SAYS.includes(kind))
  )
}

/** The kinds that someone with these roles may report of any sample at all, and so correct; null: every kind. */
export function kindsReportedAs({
  isAdministrator,
  plants,
  laboratories,
}: Roles): readonly EventKind[] | null {
  if (isAdministrator) return null
  return [...(plants.length > 0 ? PLANT_SAYS : []), ...(laboratories.length > 0 ? LABORATORY_SAYS : [])]
}

/** Whether a person may say that events belong to another kit than the one they name. */
export function mayMove(person: Person): boolean {
  return person.roles.isAdministrator
}

const HAND = 'hand '

/** The id of the person whose hand a source is; null where it is none. */
export function personOfSource(source: string): string | null {
  return source.startsWith(HAND) ? source.slice(HAND.length) : null
}
