import type { Overdue } from '@/lib/judgement/overdueKinds'
import { isResponsible } from '@/lib/judgement/responsibility'
import { parseSetAside, type SetAsideFault } from '@/lib/judgement/setAside'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'
import type { DueWork } from '@/lib/store/read/due/dueWork'

/** Who is responsible, as the address names them. */
const OWNERS = ['me', 'programme', 'plant', 'laboratory'] as const
export type OwnerFilter = (typeof OWNERS)[number]

/** Which part of the work due is shown; null does not filter. */
export interface DueFilter {
  plant: string | null
  by: OwnerFilter | null
}

type ParamReader = (name: string) => string | null | undefined

/** The filter that an address or a form asks for. Values that cannot be used are ignored. */
export function readDueFilter(getParam: ParamReader): DueFilter {
  const plant = (getParam('plant') ?? '').trim().slice(0, 100)
  return { plant: plant === '' ? null : plant, by: OWNERS.find((one) => one === getParam('by')) ?? null }
}

/** The address of a filter, with more parameters: "/due?plant=OMB1". */
export function formatDueUrl({ plant, by }: DueFilter, more: Record<string, string> = {}): string {
  const known = Object.entries({ plant, by, ...more }).flatMap(([name, value]) =>
    value === null ? [] : [[name, value]],
  )
  return known.length === 0 ? '/due' : `/due?${new URLSearchParams(known)}`
}

/** Whether a filter shows what `actor` has to do for a plant. */
export function matchesDueFilter(
  { plant, by }: DueFilter,
  shownPlant: string,
  actor: Actor,
  person: Person,
): boolean {
  if (plant !== null && plant !== shownPlant) return false
  return by === null || (by === 'me' ? isResponsible(actor, person.roles) : actor.by === by)
}

/** An overdue task by its subject, set aside or not; null if the scope of `work` does not see it. */
export function findOverdue({ overdue, setAside }: DueWork, subject: string): Overdue | null {
  const all = [...overdue, ...setAside.map((one) => one.overdue)]
  return all.find((one) => one.subject === subject) ?? null
}

/** The input of a refused form, read back from the address and checked again: no fault is taken from an address. */
export function readSetAsideInput(
  getParam: (name: string) => string | undefined,
  work: DueWork,
): SetAsideInput {
  const until = (getParam('until') ?? '').slice(0, 100)
  const reason = (getParam('reason') ?? '').slice(0, 1000)
  const overdue = findOverdue(work, getParam('aside') ?? '')
  if (overdue === null) return { subject: null, until: '', reason: '', faults: [] }
  const read = parseSetAside({ until, reason }, overdue.zone, work.asOf)
  return { subject: overdue.subject, until, reason, faults: 'faults' in read ? read.faults : [] }
}

/** Refused input to set a task aside, and its faults. */
export interface SetAsideInput {
  /** Null without input. */
  subject: string | null
  until: string
  reason: string
  faults: readonly SetAsideFault[]
}
