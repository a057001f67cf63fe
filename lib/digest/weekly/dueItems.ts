import { asksToCut, OVERDUE, type Overdue } from '@/lib/judgement/overdueKinds'
import { type DueLine, listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import { findLastCut } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import type { DigestItem, Loss } from './item'

/** A digest looks ahead to the next one, ms. */
export const LOOKAHEAD_MS = 7 * 86_400_000

type Work = Pick<DueWork, 'asOf' | 'owed' | 'overdue'>
type Rows = ReadonlyMap<string, SampleRow>

/** What is overdue, and what is due in the coming week. `rows` has the samples by code. */
export function toDueItems(work: Work, rows: Rows): DigestItem[] {
  const owed = new Map(work.owed.map((one) => [`${one.number} ${one.duty}`, one]))
  const overdue = work.overdue.map((one): DigestItem => {
    const sample = rows.get(one.sample ?? '') ?? null
    return {
      reason: { kind: 'overdue', overdue: one },
      key: one.subject,
      plant: one.plant,
      actor: one.actor,
      sample,
      loss: findLoss(one, sample, owed.get(`${one.number} ${one.duty}`), work.asOf),
      at: one.sinceAt,
    }
  })
  const due = listDueLines(work.owed, work.asOf)
    .filter(({ dueAt }) => dueAt <= work.asOf + LOOKAHEAD_MS)
    .filter((line) => !isBlocked(line, work.asOf))
    .map((line): DigestItem => {
      const { owed: test, acts, actor, dueAt } = line
      return {
        reason: { kind: 'due', line },
        key: `due/${test.duty}/${test.number}/${acts.at(-1)}`,
        plant: test.plant,
        actor,
        sample: rows.get(test.kit ?? '') ?? null,
        loss: null,
        at: dueAt,
      }
    })
  return [...overdue, ...due]
}

/** Whether an earlier act of the test is late: that one is named instead. */
function isBlocked({ owed, acts }: DueLine, now: number): boolean {
  const first = owed.acts.findIndex(({ act }) => act === acts[0])
  return owed.acts.slice(0, first).some(({ isDone, dueAt }) => !isDone && dueAt < now)
}

function findLoss(
  { kind }: Overdue,
  sample: SampleRow | null,
  owed: OwedTest | undefined,
  now: number,
): Loss | null {
  const { atStake } = OVERDUE[kind]
  if (atStake === 'sample') return findSampleLoss(sample, now)
  const report = atStake === 'report' ? owed?.acts.find(({ act }) => act === 'report') : undefined
  if (!owed || !report || report.dueAt <= now) return null
  const lastCut = asksToCut(kind) ? findLastCut(owed, now) : null
  return { kind: 'report', at: report.dueAt, zone: report.zone, lastCut }
}

/** A sample is lost when its binding clock runs out. `now` in ms UTC. */
export function findSampleLoss(sample: SampleRow | null, now: number): Loss | null {
  const dueAt = sample?.binding?.dueAt ?? null
  if (sample === null || dueAt === null || dueAt <= now) return null
  return { kind: 'sample', at: dueAt, zone: sample.laboratoryZone }
}
