import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { ConfirmAnyway } from '@/app/ui/ConfirmAnyway'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { createFormToken } from '@/app/ui/createFormToken'
import { EventFields, type FieldChoices, getRecordLabel, TimeFields } from '@/app/ui/EventFields'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { FormToken } from '@/app/ui/FormToken'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { type EventKind, eventKey, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import type { EventFormValues, SingleField } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import { formatZone } from '@/lib/messages/zoneName'
import type { EventFormState } from './eventFormState'
import { MoveForm } from './MoveForm'

/** A link can lead straight to this form, so the caution before a cut has to stand in it. */
export function isRecordingCut({ kind, correcting }: EventFormState): boolean {
  return kind === 'collected' && correcting === null
}

/** What a person can record for a sample: the likeliest next milestone first, then every other kind they may report. */
export function RecordPanel({ recording, children }: { recording: EventFormState; children?: ReactNode }) {
  const t = useTranslate()
  const { code, kind, next, kinds, form, faults, choices, zone, correcting, move, isSpare } = recording
  if (kinds.length === 0 && correcting === null) return children
  const here = `/samples/${code}`
  const hasFaults = correcting !== null && recording.takeBack.receipts.has(eventKey(correcting))
  const isUpToCarrier = kind === null && next !== null
  const owesCopy = recording.owesFormCopy && kind !== 'form copy' && correcting === null
  const others = kinds.filter((one) => one !== kind && !(owesCopy && one === 'form copy'))
  return (
    <>
      {children}
      <section className={styles.panel} id="record">
        <h2>
          {correcting
            ? t('record.heading.correct')
            : t(kind !== null && kind === next ? 'record.heading.next' : 'record.heading.other')}
        </h2>
        {isRecordingCut(recording) && <CuttingCaution />}
        {correcting && <WithdrawForm {...recording} event={correcting} now={recording.asOf} />}
        {kind !== null && (
          <EventForm
            key={`${kind} ${form.corrects}`}
            code={code}
            kind={kind}
            form={form}
            faults={faults}
            choices={choices}
            place={formatZone(zone)}
            isSpare={isSpare}
          />
        )}
        {hasFaults && (
          <p className={styles.hint}>
            {rich(t, 'record.correct.keepsFaults', { link: (text) => <a href="#found">{text}</a> })}
          </p>
        )}
        {correcting && (
          <p className={styles.hint}>
            {rich(t, 'record.withdraw.keep', { link: (text) => <Link href={here}>{text}</Link> })}
          </p>
        )}
        {isUpToCarrier && (
          <KindLinks
            summary={t('record.kinds.carrier')}
            kinds={others.filter(isSaidByCarrier)}
            here={here}
            isOpen
          />
        )}
        {owesCopy && (
          <p className={styles.owed}>
            {rich(t, 'record.formCopyOwed', {
              link: (text) => (
                <Link href={`${here}?record=form+copy#record`} scroll={false}>
                  {text}
                </Link>
              ),
            })}
          </p>
        )}
        {!correcting && (
          <KindLinks
            summary={t('record.kinds.other')}
            kinds={others.filter((one) => !isUpToCarrier || !isSaidByCarrier(one))}
            here={here}
            isOpen={kind === null && !isUpToCarrier && !recording.isWithheld}
          />
        )}
        {!correcting && <MoveForm code={code} moving={move} now={recording.asOf} />}
      </section>
    </>
  )
}

/** A carrier can report it. */
const isSaidByCarrier = (kind: EventKind) => KINDS[kind].reportedBy.includes('carrier')

/** Kinds to choose from, each a link to its form. */
function KindLinks({
  summary,
  kinds,
  here,
  isOpen,
}: {
  summary: string
  kinds: readonly EventKind[]
  here: string
  isOpen: boolean
}) {
  const t = useTranslate()
  if (kinds.length === 0) return null
  return (
    <details className={styles.more} open={isOpen}>
      <summary>{summary}</summary>
      <ul className={styles.others}>
        {kinds.map((one) => (
          <li key={one}>
            <Link href={`${here}?record=${encodeURIComponent(one)}#record`} scroll={false}>
              {getRecordLabel(t, one)}
            </Link>
          </li>
        ))}
      </ul>
    </details>
  )
}

/** Names the report that is about to be corrected, and takes it out by one press. */
function WithdrawForm({
  event,
  code,
  zone,
  now,
  lacksReason,
}: {
  event: ReadEvent
  code: string
  zone: string
  now: number
  lacksReason: boolean
}) {
  const t = useTranslate()
  return (
    <form method="post" action="/api/record/undo" className={styles.form}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="event" value={eventKey(event)} />
      <p>
        {rich(t, 'record.withdraw.about', {
          kind: t(KINDS[event.kind].label),
          time: <Instant at={event.earliestAt} zone={zone} now={now} />,
        })}
      </p>
      {KINDS[event.kind].isTakenOutWithReason && (
        <Field
          name="reason"
          label={t('record.withdraw.why')}
          faults={lacksReason ? [{ field: 'reason', detail: message('record.fault.noReason') }] : []}
        >
          {(field) => <input {...field} type="text" maxLength={500} autoComplete="off" />}
        </Field>
      )}
      <div>
        <button type="submit" className={styles.second}>
          {t('record.withdraw.submit')}
        </button>
      </div>
    </form>
  )
}

/** Fields that are seldom needed: they stay folded until one is filled in or has a fault. */
const FOLDED_FIELDS: readonly SingleField[] = ['note']

/** Records one kind of event for one kit: now by one press, or with a time and a note. */
function EventForm({
  code,
  kind,
  form,
  faults,
  choices,
  place,
  isSpare,
}: {
  code: string
  kind: EventKind
  form: EventFormValues
  faults: readonly FormFault[]
  choices: FieldChoices
  /** The place on whose clocks its time is entered. */
  place: string
  /** The kit's product is not known. */
  isSpare: boolean
}) {
  const t = useTranslate()
  const isCorrecting = form.corrects !== ''
  const seldom: readonly SingleField[] =
    isSpare || kind !== 'collected' ? FOLDED_FIELDS : [...FOLDED_FIELDS, 'product']
  const offered = { form, faults, choices, kind }
  const folded: readonly (SingleField | 'date' | 'time')[] = [...seldom, 'date', 'time']
  const isOpen =
    isCorrecting ||
    faults.some(({ field }) => folded.some((one) => one === field)) ||
    folded.some((one) => form[one] !== '')
  return (
    <form method="post" action="/api/record" className={`${styles.form} ${isCorrecting ? styles.again : ''}`}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="kind" value={kind} />
      {isCorrecting && <input type="hidden" name="corrects" value={form.corrects} />}
      <EventFields
        {...offered}
        names={KINDS[kind].fields.filter((name) => name === 'condition' || !seldom.includes(name))}
      />
      {isCorrecting && <TimeFields {...form} place={place} faults={faults} />}
      {faults
        .filter(({ field }) => field === 'kind' || field === 'corrects')
        .map(({ detail }) => (
          <p key={detail.key} className={styles.fault}>
            {t.message(detail)}
          </p>
        ))}
      <ConfirmAnyway form={form} faults={faults} />
      <button type="submit" className={styles.press}>
        {isCorrecting ? t('record.submitCorrection') : t('record.submit', { kind: getRecordLabel(t, kind) })}
      </button>
      {!isCorrecting && <p className={styles.hint}>{t('record.now')}</p>}
      <details className={styles.more} open={isOpen}>
        <summary>{t(isCorrecting ? 'record.more.note' : 'record.more.time')}</summary>
        <div className={styles.form}>
          {!isCorrecting && (
            <>
              <TimeFields {...form} place={place} faults={faults} />
              <p className={styles.hint}>{t('record.more.timeHint')}</p>
            </>
          )}
          <EventFields {...offered} names={seldom} />
        </div>
      </details>
    </form>
  )
}
