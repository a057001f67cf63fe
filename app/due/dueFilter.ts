import { isResponsible } from '@/lib/judgement/responsibility'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { parseSetAside, type SetAsideFault } from '@/lib/schedule/setAside'
import type { DueWork } from '@/lib/store/read/due/dueWork'

/** By whom it is to be done, as the address names them. */
const OWNERS = ['me', 'programme', 'plant', 'laboratory'] as const
export type OwnerFilter = (typeof OWNERS)[number]

/** What of the work due is looked at; null: all of it. */
export interface DueFilter {
  plant: string | null
  by: OwnerFilter | null
}

type ParamReader = (name: string) => string | null | undefined

/** The filter that an address or a form names. What cannot be used of one written by hand is left out. */
export function readDueFilter(named: ParamReader): DueFilter {
  const plant = (named('plant') ?? '').trim().slice(0, 100)
  return { plant: plant === '' ? null : plant, by: OWNERS.find((one) => one === named('by')) ?? null }
}

/** The part of an address that names a filter, with whatever else it is to say: "?plant=OMB1". */
export function formatDueUrl({ plant, by }: DueFilter, more: Record<string, string> = {}): string {
  const known = Object.entries({ plant, by, ...more }).flatMap(([name, value]) =>
    value === null ? [] : [[name, value]],
  )
  return known.length === 0 ? '/due' : `/due?${new URLSearchParams(known)}`
}

/** Whether something of a plant, to be done by someone, is looked at. */
export function matchesDueFilter(
  { plant, by }: DueFilter,
  of: string,
  actor: Actor,
  person: Person,
): boolean {
  if (plant !== null && plant !== of) return false
  return by === null || (by === 'me' ? isResponsible(actor, person.roles) : actor.by === by)
}

/** What is overdue of this name, left aside or not; null where a scope sees no such thing. */
export function findOverdue(
  { overdue: pressing, setAside: aside }: DueWork,
  subject: string,
): Overdue | null {
  const all = [...pressing, ...aside.map(({ overdue }) => overdue)]
  return all.find((one) => one.subject === subject) ?? null
}

/** What an address brings back of a form that was not taken, judged again: no sentence is taken from an address. */
export function readSetAsideInput(named: (name: string) => string | undefined, work: DueWork): SetAsideInput {
  const until = (named('until') ?? '').slice(0, 100)
  const reason = (named('reason') ?? '').slice(0, 1000)
  const overdue = findOverdue(work, named('aside') ?? '')
  if (overdue === null) return { subject: null, until: '', reason: '', faults: [] }
  const read = parseSetAside({ until, reason }, overdue.zone, work.asOf)
  return { subject: overdue.subject, until, reason, faults: 'faults' in read ? read.faults : [] }
}

/** What was typed to leave something aside and not taken, and what is wrong with it. */
export interface SetAsideInput {
  /** Null where nothing was typed. */
  subject: string | null
  until: string
  reason: string
  faults: readonly SetAsideFault[]
}
