import type pg from 'pg'
import { eventKey } from '@/lib/custody/event'
import { type Finding, listUnruled } from '@/lib/custody/finding'
import type { PlacedEvent } from '@/lib/custody/placing'
import type { Register } from '@/lib/custody/register'
import { deriveSample, type Sample, type SampleWithEvents } from '@/lib/custody/sample'
import { findLatest } from '@/lib/hold/extremes'
import { findReportingSide } from '@/lib/policy/mayReport'
import type { Actor } from '@/lib/schedule/act'
import { hasReached } from '@/lib/schedule/progress'
import { placeLedgerEvents } from '../../projection/placeLedgerEvents'
import { findRelatedEvents, touchSamples } from '../../projection/relatedEvents'

/** A finding that waits for a ruling, as a change of its sample. Instants in ms UTC. */
export interface HoldChange {
  kind: 'hold'
  code: string
  plant: string
  laboratory: string
  happenedAt: number
  /** When it became known. */
  at: number
  /** The key of the finding. */
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
      const told = findTelling(sample, finding)
      return {
        kind: 'hold',
        code,
        plant: kit.plant,
        laboratory: kit.laboratory,
        happenedAt: finding.at,
        at: getKnownAt(told === null ? sample.events : [told], finding.at),
        finding: finding.key,
        toldTo: listTold(sample, told),
      }
    })
  })
}

/** The event that tells a finding; null where it follows from several. What follows from one event has its key, `#` and more. */
function findTelling({ events }: SampleWithEvents, { key }: Finding): PlacedEvent | null {
  const find = (of: string) => events.find(({ event }) => eventKey(event) === of)
  return find(key) ?? find(key.slice(0, Math.max(0, key.lastIndexOf('#')))) ?? null
}

function getKnownAt(told: readonly PlacedEvent[], foundAt: number): number {
  const accepted = told.flatMap(({ event }) => event.acceptedAt ?? [])
  return accepted.length === 0 ? foundAt : findLatest(accepted)
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
