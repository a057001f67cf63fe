import type { EventKind } from '@/lib/custody/event'
import type { Overdue, OverdueKind } from './overdue'
import type { Owed } from './owed'

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
 * The path of the page on which something overdue is settled, with the form for it filled in as far as is known. What
 * only an administrator can settle leads others to the page that tells of it.
 */
export function settlingPath(overdue: Overdue, isAdministrator: boolean): string {
  const { kind, sample, plant, product, laboratory, deviation } = overdue
  if (isAdministrator) {
    const kit = { look: 'yes', plant, product, laboratory }
    if (kind === 'duty with no kit') return `/setup/add/kits?${query({ ...kit, purpose: 'first' })}`
    if (kind === 'lapsed with no re-collection')
      return replacementPath({ plant, product, laboratory, sample })
    if (kind === 'kit not posted' && sample !== null) return `/setup/kits/${sample}`
  }
  if (sample === null) return `/due?${query({ plant })}`
  const record = RECORDED[kind]
  if (record === null)
    return kind === 'under way too long' ? `/samples/${sample}?record=carrier#record` : `/samples/${sample}`
  return `/samples/${sample}?${query({ record, on: deviation })}#record`
}

/** The path of a sample's page, with the form that records a kind of event of it; without one where `kind` is null. */
export function recordPath(code: string, kind: EventKind | null): string {
  return kind === null ? `/samples/${code}` : `/samples/${code}?${query({ record: kind })}#record`
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
 * The path of the page on which the next act of a test is done. Where it has no kit yet, an administrator is led to
 * issue one, and others to what is due at its plant.
 */
export function duePath(
  { kit, plant, product, laboratory, service }: Owed,
  isAdministrator: boolean,
): string {
  if (kit !== null) return `/samples/${kit}#record`
  if (!isAdministrator) return `/due?${query({ plant })}`
  return `/setup/add/kits?${query({ look: 'yes', plant, product, laboratory, service, purpose: 'first' })}`
}

function query(fields: Record<string, string | null>): string {
  const known = Object.entries(fields).filter((field): field is [string, string] => field[1] !== null)
  return new URLSearchParams(known).toString()
}
