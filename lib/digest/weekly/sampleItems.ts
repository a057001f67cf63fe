import { SAMPLE_ACTS } from '@/lib/judgement/acts'
import type { JudgedSubject } from '@/lib/judgement/judgeAll'
import type { NextAct } from '@/lib/judgement/nextAct'
import { asksFor } from '@/lib/judgement/testActs'
import { type Actor, isSameActor } from '@/lib/schedule/act'
import type { DueLine } from '@/lib/schedule/owedTests'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { LOOKAHEAD_MS } from './dueItems'
import type { DigestItem, ItemReason } from './item'

type SampleReason = Extract<ItemReason, { judged: JudgedSubject }>

/** The codes of the samples that `toSampleItems` can name at `now` (ms UTC). */
export function listNamedSamples(judged: readonly JudgedSubject[], now: number): string[] {
  return judged.filter((one) => toReasons(one, now).length > 0).map(({ sample }) => sample)
}

/**
 * What the judgements at `now` (ms UTC) ask for, and what they forbid. Left out is what is overdue, which has items of its own, and
 * what a line of `lines` asks for in time. `rows` has the samples by code.
 */
export function toSampleItems(
  judged: readonly JudgedSubject[],
  lines: readonly DueLine[],
  rows: ReadonlyMap<string, SampleRow>,
  now: number,
): DigestItem[] {
  return judged.flatMap((one) =>
    toReasons(one, now).flatMap((reason) => {
      const isUpcoming = reason.kind === 'next step'
      if (isUpcoming && lines.some((line) => asksFor(line, one.sample, reason.act))) return []
      return [toItem(one, reason, rows.get(one.sample) ?? null, now)]
    }),
  )
}

function toItem(judged: JudgedSubject, reason: SampleReason, row: SampleRow | null, now: number): DigestItem {
  const act = reason.kind === 'forbidden' ? null : reason.act
  const loss = act === null || act.milestone !== null ? null : act.loss
  const isSoonLost = loss !== null && loss.at <= now + LOOKAHEAD_MS
  return {
    reason: reason.kind === 'next step' && isSoonLost ? { ...reason, kind: 'soon lost' } : reason,
    key: `${act === null ? reason.kind : (act.milestone ?? act.act)}/${judged.sample}`,
    plant: judged.plant,
    actor: act?.actor ?? findHandler(judged),
    sample: row,
    restraint: judged.judgement,
    isUrgent: act?.isUrgent ?? true,
    loss,
    at: act?.byAt ?? row?.stageAt ?? row?.issuedAt ?? now,
  }
}

function toReasons(judged: JudgedSubject, now: number): SampleReason[] {
  const { acts, restraint } = judged.judgement
  const reasons = acts.flatMap((act) => toReason(judged, act, now) ?? [])
  const handler = findHandler(judged)
  const isAsked =
    acts.some(({ overdue, actor }) => overdue !== null && isSameActor(actor, handler)) ||
    reasons.some((one) => one.kind !== 'forbidden' && isSameActor(one.act.actor, handler))
  return restraint === null || isAsked ? reasons : [...reasons, { kind: 'forbidden', judged }]
}

function toReason(judged: JudgedSubject, act: NextAct, now: number): SampleReason | null {
  if (act.overdue !== null) return null
  if (act.milestone !== null) return { kind: 'not recorded', judged, act }
  const isFit = judged.judgement.fitness === 'fit'
  if (!isFit && (act.isUrgent || SAMPLE_ACTS[act.act].record === null))
    return { kind: 'meanwhile', judged, act }
  if (act.isUrgent) return { kind: 'urgent', judged, act }
  // Consignments that come have items of their own.
  if (act.act === 'receive it') return null
  return act.byAt !== null && act.byAt <= now + LOOKAHEAD_MS ? { kind: 'next step', judged, act } : null
}

/** Who would do what is forbidden. */
function findHandler({ judgement, plant, laboratory }: JudgedSubject): Actor {
  return judgement.restraint === 'do not send'
    ? { by: 'plant', code: plant }
    : { by: 'laboratory', code: laboratory }
}
