import { describeAct, findActFor } from '@/lib/judgement/actText'
import type { NextAct } from '@/lib/judgement/nextAct'
import { type ActSubject, actPath, recordPath } from '@/lib/judgement/resolutionPath'
import { type ActingRoles, isResponsible, mayResolve } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import type { ActorZones, JudgedRow } from '@/lib/store/read/judged/judgedRow'
import { formatDeadline, formatInstant } from './instant'
import { getJudgement } from './standing'

/** What is to be done about a sample, as its reader is told it. */
export interface ActText {
  /** "Load it", "Ask the laboratory to load it", without a full stop. */
  text: string
  /** The form on which the reader does it; null where there is none but the sample's page. */
  path: string | null
  /** "(by the end of Thu 26 Nov, Lisbon)"; null where no time is known. */
  when: string | null
  isTheirs: boolean
  isUrgent: boolean
}

/**
 * What the reader of a list is told about a row at `now` (ms UTC): their own next act, or what others have to do today. Null where
 * there is neither.
 */
export function formatRowAct(t: Translate, row: JudgedRow, reader: ActingRoles, now: number): ActText | null {
  const judgement = getJudgement(row, now)
  const act = judgement && findActFor(judgement, reader)
  if (!act) return null
  const text = formatAct(t, act, { ...row, sample: row.code }, row.zones, reader, now)
  return text.isTheirs || text.isUrgent ? text : null
}

/** One act at `now` (ms UTC). Its times are in the zone of whoever has to do it. */
export function formatAct(
  t: Translate,
  act: NextAct,
  subject: ActSubject,
  zones: ActorZones,
  reader: ActingRoles,
  now: number,
): ActText {
  const path = mayResolve(act.actor, reader) ? actPath(act, subject, reader) : null
  return {
    text: describeAct(t, act, 'it', reader),
    path: path === recordPath(subject.sample, null) ? null : path,
    when: formatActTime(t, act, zones[act.actor.by], now),
    isTheirs: isResponsible(act.actor, reader),
    isUrgent: act.isUrgent,
  }
}

/** By when, from when or until when it is to be done; null where no time is known. */
export function formatActTime(
  t: Translate,
  { act, byAt, notBeforeAt, overdue }: Pick<NextAct, 'act' | 'byAt' | 'notBeforeAt' | 'overdue'>,
  zone: string,
  now: number,
): string | null {
  const time = notBeforeAt !== null && notBeforeAt > now ? formatInstant(t, notBeforeAt, zone, now) : null
  const lateAt = byAt === null || byAt < now ? (overdue?.sinceAt ?? byAt) : null
  if (time === null && lateAt !== null)
    return t('act.time.overdue', { deadline: formatDeadline(t, lateAt, zone, now) })
  if (byAt === null) return time && t('act.time.notBefore', { time })
  const deadline = formatDeadline(t, byAt, zone, now)
  if (time !== null) return t('act.time.notBeforeBy', { time, deadline })
  // The ruling is due, and not the waiting for it.
  return t(act === 'wait for the ruling' ? 'act.time.awaited' : 'act.time.by', { deadline })
}
