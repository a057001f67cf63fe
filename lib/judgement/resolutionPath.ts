import type { EventKind } from '@/lib/custody/event'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import type { DueLine } from '@/lib/schedule/owedTests'
import { SAMPLE_ACTS } from './acts'
import type { NextAct } from './nextAct'
import { type ActingRoles, mayResolve } from './responsibility'

/**
 * The path of the page on which `reader` settles something overdue, with its form filled in as far as possible. Readers who may not
 * settle it get the page that shows its status.
 */
export function resolutionPath({ act, sample, ...overdue }: Overdue, reader: ActingRoles): string {
  if (act !== null && sample !== null)
    return actPath({ ...overdue, act, milestone: null }, { ...overdue, sample }, reader)
  return mayResolve(overdue.actor, reader) ? firstKitPath(overdue) : plantDuePath(overdue.plant)
}

/** What is due and overdue at a plant. */
function plantDuePath(plant: string): string {
  return `/due?${toQuery({ plant })}`
}

function firstKitPath(kit: Pick<Overdue, 'plant' | 'product' | 'laboratory'> & { service?: string | null }) {
  const { plant, product, laboratory, service = null } = kit
  return `/setup/add/kits?${toQuery({ look: 'yes', plant, product, laboratory, service, purpose: 'first' })}`
}

/**
 * The path of a sample's page, with the form for an event of `kind` and what is known of it: the finding that it is `on`, the kit
 * that it names. Without a form if `kind` is null.
 */
export function recordPath(
  code: string,
  kind: EventKind | 'carrier' | null,
  known: { on?: string | null; kit?: string | null } = {},
): string {
  const { on = null, kit = null } = known
  return kind === null ? `/samples/${code}` : `/samples/${code}?${toQuery({ record: kind, on, kit })}#record`
}

/** What an act's page needs to know of its sample. */
export interface ActSubject {
  sample: string
  plant: string
  laboratory: string
  product: string | null
  service: string | null
}

/**
 * The path of the page on which `reader` does an act, with its form filled in as far as possible; the sample's own page for
 * whoever only sees it.
 */
export function actPath(
  act: Pick<NextAct, 'act' | 'actor' | 'milestone' | 'findings' | 'spare'>,
  subject: ActSubject,
  reader: ActingRoles,
): string {
  const { sample } = subject
  if (!mayResolve(act.actor, reader)) return recordPath(sample, null)
  if (act.act === 'replace it') return replacementPath({ ...subject, spare: act.spare })
  if (act.act === 'cut its replacement' && act.spare !== null) return recordPath(act.spare, null)
  if (act.act === 'post it') return `/setup/kits/${sample}`
  if (act.act === 'ask the carrier') return recordPath(sample, 'carrier')
  const record = act.milestone ?? SAMPLE_ACTS[act.act].record
  return recordPath(sample, record, { on: act.findings.length > 0 ? act.findings.join('\n') : null })
}

/** The path of the form for what replaces a sample, filled in: the spare kit at its plant, else a kit to issue. */
export function replacementPath({
  plant,
  product,
  laboratory,
  service,
  sample,
  spare,
}: Pick<Overdue, 'plant' | 'product' | 'laboratory' | 'service' | 'sample' | 'spare'>): string {
  if (spare !== null && sample !== null) return recordPath(sample, 'replaced by', { kit: spare })
  const kit = { plant, product, laboratory, service, purpose: 're-collection', replaces: sample }
  return `/setup/add/kits?${toQuery({ look: 'yes', ...kit })}`
}

/**
 * The path of the page on which `reader` does acts of a test that are due together. Readers who may not do them get the page that
 * shows the status, and so does everyone while there is no kit to record them on.
 */
export function duePath({ owed, acts, actor }: DueLine, reader: ActingRoles): string {
  const isPosting = acts[0] === 'post kit'
  const isTheirs = mayResolve(actor, reader)
  if (owed.kit === null) return isPosting && isTheirs ? firstKitPath(owed) : plantDuePath(owed.plant)
  if (!isTheirs) return recordPath(owed.kit, null)
  return isPosting ? `/setup/kits/${owed.kit}` : `/samples/${owed.kit}#record`
}

function toQuery(fields: Record<string, string | null>): string {
  const known = Object.entries(fields).filter((field): field is [string, string] => field[1] !== null)
  return new URLSearchParams(known).toString()
}
