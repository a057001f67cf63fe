import { nextStep, recordedBy, WAITS_AFTER } from '@/lib/judgement/nextStep'
import type { Actor } from '@/lib/schedule/act'
import { OVERDUE, type Overdue } from '@/lib/schedule/overdueKinds'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DigestItem } from './item'
import { AHEAD_MS, sampleLoss } from './itemsOfDueWork'

/**
 * Of open samples what is at risk, lies where it has to go on from, or lacks a time. A step of which it is told already
 * that it is overdue or due is left out: `overdue` has the former, and `due` the codes of the latter.
 */
export function itemsOfSamples(
  rows: Iterable<SampleRow>,
  overdue: readonly Overdue[],
  due: ReadonlySet<string>,
  now: number,
): DigestItem[] {
  const named = new Set(
    overdue.filter(({ kind }) => OVERDUE[kind].atStake !== null).flatMap(({ sample }) => sample ?? []),
  )
  return [...rows]
    .filter(({ isSettled, replacedBy }) => !isSettled && replacedBy === null)
    .flatMap((sample) => [
      ...(named.has(sample.code) ? [] : itemOfStep(sample, due.has(sample.code), now)),
      ...sample.asksFor.map(
        (milestone): DigestItem => ({
          told: { kind: 'not recorded', milestone },
          key: `not recorded/${sample.code}/${milestone}`,
          plant: sample.plant,
          actor: actorAt(recordedBy(milestone), sample),
          sample,
          loss: null,
          at: sample.stageAt ?? sample.issuedAt,
        }),
      ),
    ])
}

function actorAt(end: 'plant' | 'laboratory', sample: SampleRow): Actor {
  return { by: end, code: sample[end] }
}

/** Who has to do its next step; the programme asks the carrier, and looks at what asks for nothing. */
function actorOf(sample: SampleRow): Actor {
  const by = nextStep(sample.stage, sample.binding?.limit.to ?? null)?.by ?? null
  return by === null ? { by: 'programme' } : actorAt(by, sample)
}

function itemOfStep(sample: SampleRow, isDue: boolean, now: number): DigestItem[] {
  const isAtRisk = sample.standing === 'at risk'
  const { stage, standing } = sample
  const isWaiting = standing !== 'lapsed' && stage !== null && WAITS_AFTER.includes(stage) && !isDue
  if (!isAtRisk && !isWaiting) return []
  const loss = sampleLoss(sample, now)
  const isSoonLost = loss !== null && loss.at <= now + AHEAD_MS
  return [
    {
      told: { kind: isAtRisk ? 'at risk' : isSoonLost ? 'soon lost' : 'next step' },
      key: `${isAtRisk ? 'at risk' : 'next step'}/${sample.code}`,
      plant: sample.plant,
      actor: actorOf(sample),
      sample,
      loss,
      at: sample.stageAt ?? now,
    },
  ]
}
