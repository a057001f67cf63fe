import type { Sample } from '@/lib/custody/sample'
import type { Actor } from './act'
import { DutySamples } from './dutySamples'
import type { Failure } from './failedWords'
import { findActor, type OverdueKind } from './overdueKinds'
import { type Owed, owedOf, type Programme } from './owed'
import { sampleOverdues } from './sampleOverdues'

/** Something that should have been done by now. */
export interface Overdue {
  kind: OverdueKind
  /** Who has to act. */
  actor: Actor
  /** The last instant (ms UTC) at which it was in time, or where nothing was to be waited for, at which it came about; shown in `zone`. */
  sinceAt: number
  zone: string
  plant: string
  laboratory: string
  product: string | null
  /** Kit code; null where there is no kit yet. */
  sample: string | null
  /** The test that it holds up, where it is one that is owed. */
  duty: string | null
  number: number | null
  /** Why it has to be cut again. */
  reason: Failure | null
  /** The deviation that waits for a ruling, as source/id. */
  deviation: string | null
  /** The same for the same thing whenever it is asked: what a snooze names. */
  subject: string
}

/** Whether something overdue holds up a test that is owed, so that its later acts can hardly be in time. */
export function isOfTest(overdue: Overdue, owed: Owed): boolean {
  return overdue.duty === owed.duty && overdue.number === owed.number
}

/**
 * All that is overdue at `now`, longest first. The same whatever the order of samples, events or entries. Retained
 * samples are never owed, and so never overdue. `owed` may look further ahead: what is not due yet is not overdue.
 */
export function overdueOf(
  programme: Programme,
  of = new DutySamples(programme.samples, programme.register),
  owed = owedOf(programme, 0, of),
): Overdue[] {
  const owedFor = new Map(owed.map((one) => [`${one.number} ${one.duty}`, one]))
  const owedOfSample = ({ kit }: Sample) =>
    of
      .testsOf(kit.code)
      .flatMap(({ number, duty }) => owedFor.get(`${number} ${duty}`) ?? [])
      .filter((one) => one.kit === kit.code)
      .sort((a, b) => a.dueDay - b.dueDay)[0] ?? null
  return [
    ...owed.flatMap((one) => withoutKit(one, programme)),
    ...sampleOverdues(programme, owedOfSample),
  ].sort((a, b) => a.sinceAt - b.sinceAt || (a.subject < b.subject ? -1 : a.subject > b.subject ? 1 : 0))
}

/** A test for which the first kit should have been on its way, and no kit was issued at all. */
function withoutKit(owed: Owed, { now }: Programme): Overdue[] {
  const first = owed.acts[0]
  if (!first || owed.kits.length > 0 || now <= first.dueAt) return []
  const kind = 'duty with no kit'
  return [
    {
      kind,
      actor: findActor(kind, owed),
      sinceAt: first.dueAt,
      zone: first.zone,
      plant: owed.plant,
      laboratory: owed.laboratory,
      product: owed.product,
      sample: null,
      duty: owed.duty,
      number: owed.number,
      reason: null,
      deviation: null,
      subject: `${kind}/${owed.duty}/${owed.number}`,
    },
  ]
}
