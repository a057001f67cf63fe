import { asksToCut, OVERDUE, type Overdue } from '@/lib/judgement/overdueKinds'
import { asksFor } from '@/lib/judgement/testActs'
import { type DueLine, listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import { findLastCut } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import type { DigestItem, Loss } from './item'

/** A digest looks ahead to the next one, ms. */
export const LOOKAHEAD_MS = 7 * 86_400_000

type Work = Pick<DueWork, 'asOf' | 'owed' | 'overdue' | 'judged'>
type Rows = ReadonlyMap<string, SampleRow>

/** What is overdue and not set aside. `rows` has the samples by code. */
export function toOverdueItems(work: Work, rows: Rows): DigestItem[] {
  const owed = new Map(work.owed.map((one) => [`${one.number} ${one.duty}`, one]))
  const judgements = new Map(work.judged.map(({ sample, judgement }) => [sample, judgement]))
  return work.overdue.map((one): DigestItem => {
    const sample = rows.get(one.sample ?? '') ?? null
    return {
      reason: { kind: 'overdue', overdue: one },
      key: one.subject,
      plant: one.plant,
      actor: one.actor,
      sample,
      restraint: judgements.get(one.sample ?? '') ?? null,
      loss: findLoss(one, sample, owed.get(`${one.number} ${one.duty}`), work.asOf),
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
