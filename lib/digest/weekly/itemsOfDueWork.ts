import { asksToCut, OVERDUE, type Overdue } from '@/lib/schedule/overdueKinds'
import { type DueLine, dueLines, type Owed } from '@/lib/schedule/owed'
import { lastCutOf } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import type { DigestItem, Loss } from './item'

/** So far ahead a digest tells of what is coming, ms: until the next one. */
export const AHEAD_MS = 7 * 86_400_000

type Work = Pick<DueWork, 'asOf' | 'owed' | 'pressing'>
type Rows = ReadonlyMap<string, SampleRow>

/** What is overdue, and what of the coming week is due. `rows` are the samples that these speak of, by code. */
export function itemsOfDueWork(work: Work, rows: Rows): DigestItem[] {
  const owed = new Map(work.owed.map((one) => [`${one.number} ${one.duty}`, one]))
  const overdue = work.pressing.map((one): DigestItem => {
    const sample = rows.get(one.sample ?? '') ?? null
    return {
      told: { kind: 'overdue', overdue: one },
      key: one.subject,
      plant: one.plant,
      actor: one.actor,
      sample,
      loss: lossOf(one, sample, owed.get(`${one.number} ${one.duty}`), work.asOf),
      at: one.sinceAt,
    }
  })
  const due = dueLines(work.owed, work.asOf)
    .filter(({ dueAt }) => dueAt <= work.asOf + AHEAD_MS)
    .filter((line) => !isHeldUp(line, work.asOf))
    .map((line): DigestItem => {
      const { owed: test, acts, actor, dueAt } = line
      return {
        told: { kind: 'due', line },
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

/** Whether an act before it is late: that one is named, and its turn does not come before. */
function isHeldUp({ owed, acts }: DueLine, now: number): boolean {
  const first = owed.acts.findIndex(({ act }) => act === acts[0])
  return owed.acts.slice(0, first).some(({ isDone, dueAt }) => !isDone && dueAt < now)
}

function lossOf(
  { kind }: Overdue,
  sample: SampleRow | null,
  owed: Owed | undefined,
  now: number,
): Loss | null {
  const { atStake } = OVERDUE[kind]
  if (atStake === 'sample') return sampleLoss(sample, now)
  const report = atStake === 'report' ? owed?.acts.find(({ act }) => act === 'report') : undefined
  if (!owed || !report || report.dueAt <= now) return null
  const lastCut = asksToCut(kind) ? lastCutOf(owed, now) : null
  return { of: 'report', at: report.dueAt, zone: report.zone, lastCut }
}

/** A sample is lost where the clock that binds it runs out. `now` in ms UTC. */
export function sampleLoss(sample: SampleRow | null, now: number): Loss | null {
  const dueAt = sample?.binding?.dueAt ?? null
  if (sample === null || dueAt === null || dueAt <= now) return null
  return { of: 'sample', at: dueAt, zone: sample.laboratoryZone }
}
