import type pg from 'pg'
import { eventKey } from '@/lib/custody/event'
import { type Finding, listUnruled } from '@/lib/custody/finding'
import { splitFaultKey } from '@/lib/custody/findingKey'
import type { PlacedEvent } from '@/lib/custody/placing'
import type { Register } from '@/lib/custody/register'
import { deriveSample, type Sample, type SampleWithEvents } from '@/lib/custody/sample'
import { findLatest } from '@/lib/hold/extremes'
import { findReportingSide } from '@/lib/policy/mayReport'
import type { Actor } from '@/lib/schedule/act'
import { hasReached } from '@/lib/schedule/progress'
import { placeLedgerEvents } from '../../projection/placeLedgerEvents'
import { findRelatedEvents, touchSamples } from '../../projection/relatedEvents'

/** A finding that waits for a ruling, as a change of its sample. */
export interface HoldChange {
  kind: 'hold'
  code: string
  plant: string
  laboratory: string
  /** When it became known here, ms UTC, however long ago it was found. */
  at: number
  /** The key under which it first became known: an earlier report of the same that comes later changes nothing. */
  finding: string
  /** Who is told of it. */
  toldTo: readonly Actor[]
}

/** What was found on these samples and waits for a ruling at `now` (ms UTC). The transaction must see everything. */
export async function findHoldChanges(
  client: pg.ClientBase,
  codes: readonly string[],
  register: Register,
  now: number,
): Promise<HoldChange[]> {
  if (codes.length === 0) return []
  const events = await findRelatedEvents(client, touchSamples(codes))
  const { kits, bySample } = await placeLedgerEvents(client, events, register, now, { codes })
  return codes.flatMap((code) => {
    const kit = kits.get(code)
    if (!kit) return []
    const sample = deriveSample(kit, bySample.get(code) ?? [], register, now)
    return listUnruled(sample.findings, now).map((finding): HoldChange => {
      const { key, told, at } = findFirstTelling(sample, finding)
      return {
        kind: 'hold',
        code,
        plant: kit.plant,
        laboratory: kit.laboratory,
        at,
        finding: key,
        toldTo: listTold(sample, told),
      }
    })
  })
}

/**
 * The telling of a finding that became known first, and when, ms UTC. What follows from several events became known with the
 * last of them; `told` is then the one that it is about, or null.
 */
function findFirstTelling(
  { events }: SampleWithEvents,
  finding: Finding,
): { key: string; told: PlacedEvent | null; at: number } {
  const find = (of: string | undefined) => events.find(({ event }) => eventKey(event) === of) ?? null
  const tellings = finding.keys
    .map((key) => ({ key, told: find(key) ?? find(splitFaultKey(key)?.receipt) }))
    .flatMap(({ key, told }) => (told === null ? [] : [{ key, told, at: getKnownAt(told.event) }]))
  const [first] = tellings.sort((a, b) => a.at - b.at || (a.key < b.key ? -1 : 1))
  if (first !== undefined) return first
  // The least of the keys stays the least unless another such report comes.
  const key = [...finding.keys].sort()[0] ?? finding.key
  return {
    key,
    told: find(key.slice(0, Math.max(0, key.lastIndexOf('#')))),
    at: Math.max(finding.at, findLatest(events.map(({ event }) => getKnownAt(event)))),
  }
}

/** When an event became known: an imported one when it did at its source. */
function getKnownAt({ reportedAt, acceptedAt, earliestAt }: PlacedEvent['event']): number {
  return reportedAt ?? acceptedAt ?? earliestAt
}

/** The programme and the plant; the laboratory, too, of a sample that was handed over, unless it found this itself. */
function listTold(sample: Sample, told: PlacedEvent | null): Actor[] {
  const { plant, laboratory } = sample.kit
  const both: Actor[] = [{ by: 'programme' }, { by: 'plant', code: plant }]
  if (!hasReached(sample, 'dispatched')) return both
  const { kind, reporter } = told?.event ?? {}
  const side = kind && reporter ? findReportingSide(reporter, kind, { plant, laboratory }) : null
  const isOwn = side === 'laboratory' || kind === 'received'
  return isOwn ? both : [...both, { by: 'laboratory', code: laboratory }]
}
