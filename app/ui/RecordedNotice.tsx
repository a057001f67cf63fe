import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { UNDONE_CHANGE } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { Translate } from '@/lib/messages/translate'
import type { SubmittedEvent } from '@/lib/store/read/sample/eventForm'
import { createFormToken } from './createFormToken'
import styles from './EventForm.module.css'
import { FormToken } from './FormToken'
import { Instant } from './Instant'
import { Link } from './Link'
import { rich } from './language/rich'

/** What a person has just recorded, with a button that undoes it. `from`: the page it stands on. */
export function RecordedNotice({
  events,
  now,
  from,
  plant = '',
  canUndo,
  children,
}: {
  events: readonly SubmittedEvent[]
  now: number
  from: 'sample' | 'plant' | 'receiving'
  plant?: string
  canUndo: (event: SubmittedEvent) => boolean
  /** What follows for each event, instead of a list of their samples. */
  children?: ReactNode
}) {
  const t = useTranslate()
  // What was taken back with what was reported, as when a receipt is moved, is no report of its own.
  const reports = events.filter(({ kind }) => kind !== 'withdrawn')
  const shown = reports.length > 0 ? reports : events
  const first = shown[0]
  if (!first) return null
  const changeable = events.filter(
    (event) => !event.isTakenOut && (event.kind !== 'withdrawn' || takesFaultBack(event)) && canUndo(event),
  )
  // One that needs a reason is taken out by its own form.
  const undoable = changeable.filter(({ kind }) => !KINDS[kind].isTakenOutWithReason)
  const count = shown.length
  const only = count === 1 ? first : null
  const isRestored = shown.some(({ facts }) => facts?.[UNDONE_CHANGE])
  const recorded = {
    kind: t(KINDS[first.kind].label),
    time: <Instant at={first.earliestAt} zone={first.zone} now={now} />,
  }
  const change = only?.sample && (
    <Link href={`/samples/${only.sample}?change=${encodeURIComponent(only.key)}#record`}>
      {t(KINDS[only.kind].isTakenOutWithReason ? 'record.done.changeOrTakeBack' : 'record.done.changeTime')}
    </Link>
  )
  return (
    <div className={styles.done} id="done" role="status">
      <p>
        {first.kind === 'withdrawn' &&
          (takesFaultBack(first) ? t('record.done.faultTakenBack') : t('record.done.takenOut', { count }))}
        {first.kind !== 'withdrawn' &&
          (only
            ? rich(t, 'record.done.one', recorded)
            : rich(t, 'record.done.many', { ...recorded, about: countBoxes(t, shown) }))}{' '}
        {isRestored && t('record.done.restored')}{' '}
        {isRestored &&
          first.kind === 'received' &&
          !events.some(takesFaultBack) &&
          t('record.done.foundStays')}{' '}
        {first.kind !== 'withdrawn' &&
          changeable.length === 0 &&
          first.isTakenOut &&
          t('record.done.takenOutSince')}
      </p>
      {children}
      {!only && !children && (
        <p>
          {shown.map(({ key, sample }) => (
            <span key={key}>
              {sample && <Link href={`/samples/${sample}`}>{formatKitCode(sample)}</Link>}{' '}
            </span>
          ))}
        </p>
      )}
      {from === 'sample' && (
        <p>{rich(t, 'record.done.seeDue', { link: (text) => <Link href="/due">{text}</Link> })}</p>
      )}
      {undoable.length > 0 && (
        <form method="post" action="/api/record/undo">
          <FormToken value={createFormToken()} />
          <input type="hidden" name="restore" value="yes" />
          <input type="hidden" name="from" value={from} />
          <input type="hidden" name="plant" value={plant} />
          {undoable.map(({ key, sample }) => (
            <span key={key} hidden>
              <input type="hidden" name="sample" value={sample ?? ''} />
              <input type="hidden" name="event" value={key} />
            </span>
          ))}
          <button type="submit" className={styles.second}>
            {t('record.done.undo', { count: Math.min(undoable.length, count) })}
          </button>
          {change}
        </form>
      )}
      {undoable.length === 0 && changeable.length > 0 && change && <p>{change}</p>}
    </div>
  )
}

/** Whether it takes back what a receipt found, which stands again once this is withdrawn. */
function takesFaultBack({ kind, corrects }: SubmittedEvent): boolean {
  return kind === 'withdrawn' && corrects !== null && splitFaultKey(corrects) !== null
}

/** How many samples, and how many boxes that wait to be matched to one. */
function countBoxes(t: Translate, events: readonly SubmittedEvent[]): string {
  const kept = events.filter(({ isKept }) => isKept).length
  const count = events.length - kept
  return t.list([
    ...(count > 0 ? [t('record.done.samples', { count })] : []),
    ...(kept > 0 ? [t('record.done.boxes', { count: kept })] : []),
  ])
}
