import type { EventKind } from '@/lib/custody/event'
import type { DueLine } from './dueLines'
import { maySettle, type Part } from './hasToAct'
import type { Overdue, OverdueKind } from './overdue'

/** What is recorded of the sample to settle each kind; null where no event of one kind does. */
const RECORDED: Record<OverdueKind, EventKind | null> = {
  'duty with no kit': null,
  'kit not posted': null,
  'not cut': 'collected',
  'not handed over': 'dispatched',
  // The carrier may say anything: that it was seen, is held, has arrived or is lost.
  'under way too long': null,
  'delivered but not received': 'received',
  'not loaded in time': 'loaded',
  'lapsed with no re-collection': null,
  'deviation with no ruling': 'ruling',
  'form copy missing': 'form copy',
  'report late': 'reported',
}

/**
 * The path of the page on which `reader` settles something overdue, with the form for it filled in as far as is known. Who
 * may not settle it is led to the page that tells how it stands.
 */
export function settlingPath(overdue: Overdue, reader: Part): string {
  const { kind, sample, plant, actor, deviation } = overdue
  if (!maySettle(actor, reader)) return sample === null ? atPlant(plant) : recordPath(sample, null)
  if (kind === 'duty with no kit') return firstKitPath(overdue)
  if (sample === null) return atPlant(plant)
  if (kind === 'lapsed with no re-collection') return replacementPath(overdue)
  if (kind === 'kit not posted') return `/setup/kits/${sample}`
  if (kind === 'under way too long') return `/samples/${sample}?record=carrier#record`
  return recordPath(sample, RECORDED[kind], deviation)
}

/** What is due and overdue at a plant. */
function atPlant(plant: string): string {
  return `/due?${query({ plant })}`
}

function firstKitPath(kit: Pick<Overdue, 'plant' | 'product' | 'laboratory'> & { service?: string | null }) {
  const { plant, product, laboratory, service = null } = kit
  return `/setup/add/kits?${query({ look: 'yes', plant, product, laboratory, service, purpose: 'first' })}`
}

/**
 * The path of a sample's page, with the form that records a kind of event of it (`on`: which other event that is about);
 * without one where `kind` is null.
 */
export function recordPath(code: string, kind: EventKind | null, on: string | null = null): string {
  return kind === null ? `/samples/${code}` : `/samples/${code}?${query({ record: kind, on })}#record`
}

/** The path of the form by which an administrator issues a kit to replace a sample, filled in. */
export function replacementPath({
  plant,
  product,
  laboratory,
  sample,
}: Pick<Overdue, 'plant' | 'product' | 'laboratory' | 'sample'>): string {
  const kit = { plant, product, laboratory, purpose: 're-collection', replaces: sample }
  return `/setup/add/kits?${query({ look: 'yes', ...kit })}`
}

/**
 * The path of the page on which `reader` does acts of a test that are due together. Who may not do them is led to the page
 * that tells how it stands, as everyone is while there is no kit on which they could be recorded.
 */
export function duePath({ owed, acts, actor }: DueLine, reader: Part): string {
  const isPosting = acts[0] === 'post kit'
  const isTheirs = maySettle(actor, reader)
  if (owed.kit === null) return isPosting && isTheirs ? firstKitPath(owed) : atPlant(owed.plant)
  if (!isTheirs) return recordPath(owed.kit, null)
  return isPosting ? `/setup/kits/${owed.kit}` : `/samples/${owed.kit}#record`
}

function query(fields: Record<string, string | null>): string {
  const known = Object.entries(fields).filter((field): field is [string, string] => field[1] !== null)
  return new URLSearchParams(known).toString()
}
