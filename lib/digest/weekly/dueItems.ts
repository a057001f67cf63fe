import { asksFor } from '@/lib/judgement/testActs'
import { type DueLine, listDueLines } from '@/lib/schedule/owedTests'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import type { DigestItem } from './item'

/** A digest looks ahead to the next one, ms. */
export const LOOKAHEAD_MS = 7 * 86_400_000

type Work = Pick<DueWork, 'asOf' | 'owed' | 'overdue' | 'judged'>
type Rows = ReadonlyMap<string, SampleRow>

/** What is overdue and not set aside. `rows` has the samples by code. */
export function toOverdueItems(work: Work, rows: Rows): DigestItem[] {
  const judgements = new Map(work.judged.map(({ sample, judgement }) => [sample, judgement]))
  return work.overdue.map((one): DigestItem => {
    const sample = rows.get(one.sample ?? '') ?? null
    return {
      reason: { kind: 'overdue', overdue: one },
      key: one.subject,
      isUrgent: true,
      plant: one.plant,
      actor: one.actor,
      sample,
      restraint: judgements.get(one.sample ?? '') ?? null,
      loss: one.loss,
      at: one.sinceAt,
    }
  })
}

/** The lines of tests that are due in the coming week and not urgent yet. */
export function listComingLines({ owed, asOf, judged }: Work): DueLine[] {
  const urgent = new Map(
    judged.map(({ sample, judgement }) => [sample, judgement.acts.filter(({ isUrgent }) => isUrgent)]),
  )
  const isUrgent = (line: DueLine) => {
    const { kit } = line.owed
    return kit !== null && (urgent.get(kit) ?? []).some((act) => asksFor(line, kit, act))
  }
  return listDueLines(owed, asOf)
    .filter(({ dueAt }) => dueAt <= asOf + LOOKAHEAD_MS)
    .filter((line) => !isBlocked(line, asOf) && !isUrgent(line))
}

/** The same as items. */
export function toLineItems(lines: readonly DueLine[], rows: Rows): DigestItem[] {
  return lines.map((line) => {
    const { owed, acts, actor, dueAt } = line
    return {
      reason: { kind: 'due', line },
      key: `due/${owed.duty}/${owed.number}/${acts.at(-1)}`,
      plant: owed.plant,
      actor,
      sample: rows.get(owed.kit ?? '') ?? null,
      restraint: null,
      isUrgent: false,
      loss: null,
      at: dueAt,
    }
  })
}

/** Whether something that comes before it is named instead: an earlier act of the test is late, or its sample waits for a ruling. */
function isBlocked({ owed, acts }: DueLine, now: number): boolean {
  if (owed.kit === null && owed.kits.length > 0) return true
  const first = owed.acts.findIndex(({ act }) => act === acts[0])
  return owed.acts.slice(0, first).some(({ isDone, dueAt }) => !isDone && dueAt < now)
}
