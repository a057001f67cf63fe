import { findNextStep, findRecorder, WAITS_AFTER } from '@/lib/judgement/nextStep'
import { OVERDUE, type Overdue } from '@/lib/judgement/overdueKinds'
import type { Actor } from '@/lib/schedule/act'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { findSampleLoss, LOOKAHEAD_MS } from './dueItems'
import type { DigestItem } from './item'

/**
 * Open samples that are at risk, wait for their next step, or lack a time. Steps that are already named as overdue or due are left
 * out; `due` has their kit codes.
 */
export function toSampleItems(
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
      ...(named.has(sample.code) ? [] : toStepItems(sample, due.has(sample.code), now)),
      ...sample.missingMilestones.map(
        (milestone): DigestItem => ({
          reason: { kind: 'not recorded', milestone },
          key: `not recorded/${sample.code}/${milestone}`,
          plant: sample.plant,
          actor: toActor(findRecorder(milestone), sample),
          sample,
          loss: null,
          at: sample.stageAt ?? sample.issuedAt,
        }),
      ),
    ])
}

function toActor(by: 'plant' | 'laboratory', sample: SampleRow): Actor {
  return { by, code: sample[by] }
}

/** Who has to do the next step. The programme asks the carrier, and looks at samples without a next step. */
function findStepActor(sample: SampleRow): Actor {
  const by = findNextStep(sample.stage, sample.binding?.limit.to ?? null)?.by ?? null
  return by === null ? { by: 'programme' } : toActor(by, sample)
}

function toStepItems(sample: SampleRow, isDue: boolean, now: number): DigestItem[] {
  const isAtRisk = sample.standing === 'at risk'
  const { stage, standing } = sample
  const isWaiting = standing !== 'lapsed' && stage !== null && WAITS_AFTER.includes(stage) && !isDue
  if (!isAtRisk && !isWaiting) return []
  const loss = findSampleLoss(sample, now)
  const isSoonLost = loss !== null && loss.at <= now + LOOKAHEAD_MS
  return [
    {
      reason: { kind: isAtRisk ? 'at risk' : isSoonLost ? 'soon lost' : 'next step' },
      key: `${isAtRisk ? 'at risk' : 'next step'}/${sample.code}`,
      plant: sample.plant,
      actor: findStepActor(sample),
      sample,
      loss,
      at: sample.stageAt ?? now,
    },
  ]
}
