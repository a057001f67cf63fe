import type { PressingFirst } from '@/lib/digest/weekly/pressingFirst'
import { actorName } from '@/lib/judgement/dueWords'
import { hasToAct } from '@/lib/judgement/hasToAct'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { type DueLine, dueLines } from '@/lib/schedule/owed'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { type DueFilter, isLookedAt } from './dueFilter'

/** Who has to do a part of what is overdue, and what that is, most pressing first. */
export interface Doing {
  name: string
  actor: Actor
  overdue: Overdue[]
}

/** What a person sees of the work due: theirs, then others', what is left aside, and what is to come. */
export interface DueView {
  work: DueWork
  person: Person
  filter: DueFilter
  /** Most pressing first. */
  mine: Overdue[]
  /** By who has to do it, whoever has the most pressing first. */
  others: Doing[]
  /** What can still be saved, by the subject of what is overdue. */
  losses: PressingFirst['losses']
  aside: DueWork['aside']
  /** By the day on which it is due. */
  coming: DueLine[]
  /** The plants that any of it is of, by name. */
  plants: { code: string; name: string }[]
  /** More than one plant is shown, so each has to be named. */
  isOfSeveral: boolean
  /** Long lists are shown whole. */
  isWhole: boolean
}

/** The part of the work due that a filter lets see, as a person is to be shown it. */
export function dueViewOf(
  work: DueWork,
  { overdue, losses }: PressingFirst,
  person: Person,
  filter: DueFilter,
  isWhole: boolean,
): DueView {
  const isShown = (plant: string, actor: Actor) => isLookedAt(filter, plant, actor, person)
  const pressing = overdue.filter(({ plant, actor }) => isShown(plant, actor))
  const isMine = ({ actor }: Overdue) => hasToAct(actor, person.roles)
  const all = [...work.owed, ...work.pressing, ...work.aside.map(({ overdue }) => overdue)]
  const codes = [...new Set(all.map(({ plant }) => plant))]
  return {
    work,
    person,
    filter,
    losses,
    mine: pressing.filter(isMine),
    others: byDoer(
      pressing.filter((one) => !isMine(one)),
      work,
    ),
    aside: work.aside.filter(({ overdue }) => isShown(overdue.plant, overdue.actor)),
    coming: dueLines(work.owed, work.asOf).filter(({ owed, actor }) => isShown(owed.plant, actor)),
    plants: codes
      .map((code) => ({ code, name: work.places.get(code) ?? code }))
      .sort((a, b) => a.name.localeCompare(b.name, 'en')),
    isOfSeveral: codes.length > 1 && filter.plant === null,
    isWhole,
  }
}

function byDoer(overdue: readonly Overdue[], work: DueWork): Doing[] {
  const doings = new Map<string, Doing>()
  for (const one of overdue) {
    const { actor } = one
    const key = JSON.stringify(actor)
    const doing = doings.get(key) ?? { name: actorName(actor, work), actor, overdue: [] }
    doing.overdue.push(one)
    doings.set(key, doing)
  }
  return [...doings.values()]
}
