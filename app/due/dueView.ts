import type { SortedOverdue } from '@/lib/digest/weekly/sortByUrgency'
import { getActorName } from '@/lib/judgement/dueText'
import { isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { type DueLine, listDueLines } from '@/lib/schedule/owedTests'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { type DueFilter, matchesDueFilter } from './dueFilter'

/** Who has to do a part of what is overdue, and what that is, most pressing first. */
export interface ActionGroup {
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
  others: ActionGroup[]
  /** What can still be saved, by the subject of what is overdue. */
  losses: SortedOverdue['losses']
  setAside: DueWork['setAside']
  /** By the day on which it is due. */
  coming: DueLine[]
  /** The plants that any of it is of, by name. */
  plants: { code: string; name: string }[]
  /** More than one plant is shown, so each has to be named. */
  hasSeveralPlants: boolean
  /** Long lists are shown whole. */
  showsAll: boolean
}

/** The part of the work due that a filter lets see, as a person is to be shown it. */
export function buildDueView(
  t: Translate,
  work: DueWork,
  { overdue, losses }: SortedOverdue,
  person: Person,
  filter: DueFilter,
  isWhole: boolean,
): DueView {
  const isShown = (plant: string, actor: Actor) => matchesDueFilter(filter, plant, actor, person)
  const pressing = overdue.filter(({ plant, actor }) => isShown(plant, actor))
  const isMine = ({ actor }: Overdue) => isResponsible(actor, person.roles)
  const all = [...work.owed, ...work.overdue, ...work.setAside.map(({ overdue }) => overdue)]
  const codes = [...new Set(all.map(({ plant }) => plant))]
  return {
    work,
    person,
    filter,
    losses,
    mine: pressing.filter(isMine),
    others: groupByOwner(
      t,
      pressing.filter((one) => !isMine(one)),
      work,
    ),
    setAside: work.setAside.filter(({ overdue }) => isShown(overdue.plant, overdue.actor)),
    coming: listDueLines(work.owed, work.asOf).filter(({ owed, actor }) => isShown(owed.plant, actor)),
    plants: codes
      .map((code) => ({ code, name: work.places.get(code) ?? code }))
      .sort((a, b) => a.name.localeCompare(b.name, 'en')),
    hasSeveralPlants: codes.length > 1 && filter.plant === null,
    showsAll: isWhole,
  }
}

function groupByOwner(t: Translate, overdue: readonly Overdue[], work: DueWork): ActionGroup[] {
  const doings = new Map<string, ActionGroup>()
  for (const one of overdue) {
    const { actor } = one
    const key = JSON.stringify(actor)
    const doing = doings.get(key) ?? { name: getActorName(t, actor, work), actor, overdue: [] }
    doing.overdue.push(one)
    doings.set(key, doing)
  }
  return [...doings.values()]
}
