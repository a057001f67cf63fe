import type { EventKind } from '@/lib/custody/event'
import { OVERDUE, type Overdue, type ResolutionPage } from '@/lib/schedule/overdueKinds'
import type { DueLine } from '@/lib/schedule/owedTests'
import { type ActingRoles, mayResolve } from './responsibility'

const PAGES: Record<ResolutionPage, (overdue: Overdue) => string> = {
  'first kit': firstKitPath,
  replacement: replacementPath,
  kit: ({ sample }) => `/setup/kits/${sample}`,
  carrier: ({ sample }) => `/samples/${sample}?record=carrier#record`,
}

/**
 * The path of the page on which `reader` settles something overdue, with its form filled in as far as possible. Readers who may not
 * settle it get the page that shows its status.
 */
export function resolutionPath(overdue: Overdue, reader: ActingRoles): string {
  const { kind, sample, plant, actor, deviation } = overdue
  if (!mayResolve(actor, reader)) return sample === null ? plantDuePath(plant) : recordPath(sample, null)
  const { resolvedBy } = OVERDUE[kind]
  if ('page' in resolvedBy) return PAGES[resolvedBy.page](overdue)
  return sample === null ? plantDuePath(plant) : recordPath(sample, resolvedBy.record, deviation)
}

/** What is due and overdue at a plant. */
function plantDuePath(plant: string): string {
  return `/due?${toQuery({ plant })}`
}

function firstKitPath(kit: Pick<Overdue, 'plant' | 'product' | 'laboratory'> & { service?: string | null }) {
  const { plant, product, laboratory, service = null } = kit
  return `/setup/add/kits?${toQuery({ look: 'yes', plant, product, laboratory, service, purpose: 'first' })}`
}

/** The path of a sample's page, with the form for an event of `kind` about the event `on`; without a form if `kind` is null. */
export function recordPath(code: string, kind: EventKind | null, on: string | null = null): string {
  return kind === null ? `/samples/${code}` : `/samples/${code}?${toQuery({ record: kind, on })}#record`
}

/** The path of the form to issue a kit that replaces a sample, filled in. */
export function replacementPath({
  plant,
  product,
  laboratory,
  sample,
}: Pick<Overdue, 'plant' | 'product' | 'laboratory' | 'sample'>): string {
  const kit = { plant, product, laboratory, purpose: 're-collection', replaces: sample }
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
