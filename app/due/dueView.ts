import { DAY, toLocalDay } from '@/lib/hold/zone'
import { SAMPLE_ACTS } from '@/lib/judgement/acts'
import type { JudgedSubject } from '@/lib/judgement/judgeAll'
import type { NextAct } from '@/lib/judgement/nextAct'
import { getOverdueUrgency } from '@/lib/judgement/overdue'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { isResponsible } from '@/lib/judgement/responsibility'
import { asksFor } from '@/lib/judgement/testActs'
import { compareUrgency, getUrgency } from '@/lib/judgement/urgency'
import type { Translate } from '@/lib/messages/translate'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import { type DueLine, listDueLines } from '@/lib/schedule/owedTests'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { type DueFilter, matchesDueFilter } from './dueFilter'

/** What one actor has to do of what is overdue, most urgent first. */
export interface ActionGroup {
  actor: Actor
  overdue: Overdue[]
}

/** Something to do about a sample that is not late. */
export interface NextTask {
  judged: JudgedSubject
  act: NextAct
}

/** The work due as a person sees it: theirs, others’, what is set aside, and what is coming. */
export interface DueView {
  work: DueWork
  person: Person
  filter: DueFilter
  /** Most urgent first. */
  mine: Overdue[]
  /** What else they have to do, and is not late: most urgent first. */
  next: NextTask[]
  /** By who has to do it; the group with the most urgent task first. */
  others: ActionGroup[]
  setAside: DueWork['setAside']
  /** Ordered by due day. */
  coming: DueLine[]
  /** The plants concerned, ordered by name. */
  plants: { code: string; name: string }[]
  /** More than one plant is shown, so plants are named. */
  hasSeveralPlants: boolean
  /** Long lists are not cut. */
  showsAll: boolean
}

/** The part of the work due that passes a filter, arranged for a person. */
export function buildDueView(
  t: Translate,
  work: DueWork,
  person: Person,
  filter: DueFilter,
  showsAll: boolean,
): DueView {
  const isShown = (plant: string, actor: Actor) => matchesDueFilter(filter, plant, actor, person)
  const shown = work.overdue.filter(({ plant, actor }) => isShown(plant, actor))
  const isMine = ({ actor }: Overdue) => isResponsible(actor, person.roles)
  const next = listNext(work, person)
  const all = [
    ...work.owed,
    ...work.overdue,
    ...work.setAside.map(({ overdue }) => overdue),
    ...next.map(({ judged }) => judged),
  ]
  const codes = [...new Set(all.map(({ plant }) => plant))]
  return {
    work,
    person,
    filter,
    mine: shown.filter(isMine),
    next: next.filter(({ judged, act }) => isShown(judged.plant, act.actor)),
    others: groupByOwner(shown.filter((one) => !isMine(one))),
    setAside: work.setAside.filter(({ overdue }) => isShown(overdue.plant, overdue.actor)),
    coming: listDueLines(work.owed, work.asOf).filter(({ owed, actor }) => isShown(owed.plant, actor)),
    plants: codes
      .map((code) => ({ code, name: work.places.get(code) ?? code }))
      .sort((a, b) => a.name.localeCompare(b.name, t.tag)),
    hasSeveralPlants: codes.length > 1 && filter.plant === null,
    showsAll,
  }
}

/** What a person has to do and cannot wait, late or not: most urgent first. */
export function listPressing({ mine, next }: DueView): (Overdue | NextTask)[] {
  return [
    ...mine.map((task) => ({ task, urgency: getOverdueUrgency(task) })),
    ...next
      .filter(({ act }) => act.isUrgent)
      .map((task) => ({ task, urgency: getUrgency(task.act, task.judged.sample) })),
  ]
    .sort((a, b) => compareUrgency(a.urgency, b.urgency))
    .map(({ task }) => task)
}

/** The acts of a person that are not late, and for which no line of a test stands. */
function listNext({ judged, owed, asOf }: DueWork, { roles }: Person): DueView['next'] {
  const lines = listDueLines(owed, asOf)
  return judged
    .flatMap((one) =>
      one.judgement.acts
        .filter(({ overdue, actor }) => overdue === null && isResponsible(actor, roles))
        .filter((act) => !lines.some((line) => asksFor(line, one.sample, act)))
        .map((act) => ({ judged: one, act, urgency: getUrgency(act, one.sample) })),
    )
    .sort((a, b) => compareUrgency(a.urgency, b.urgency))
}

function groupByOwner(overdue: readonly Overdue[]): ActionGroup[] {
  const groups = new Map<string, ActionGroup>()
  for (const one of overdue) {
    const { actor } = one
    const key = JSON.stringify(actor)
    const group = groups.get(key) ?? { actor, overdue: [] }
    group.overdue.push(one)
    groups.set(key, group)
  }
  return [...groups.values()]
}

const SOON_DAYS = 14

/** The number of steps that are due within two weeks and not said to press already. */
export function countSoon({ coming, next, work: { asOf } }: DueView): number {
  const isSoon = ({ act, isUrgent, byAt }: NextAct) =>
    !isUrgent && SAMPLE_ACTS[act].record !== null && byAt !== null && byAt <= asOf + SOON_DAYS * DAY
  const lines = coming.filter((line) => line.dueDay - toLocalDay(asOf, line.zone) <= SOON_DAYS)
  return lines.length + next.filter(({ act }) => isSoon(act)).length
}
