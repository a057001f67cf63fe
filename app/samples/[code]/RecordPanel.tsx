import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { createFormToken } from '@/app/ui/createFormToken'
import { EventFields, type FieldChoices, getRecordLabel, TimeFields } from '@/app/ui/EventFields'
import styles from '@/app/ui/EventForm.module.css'
import { FormToken } from '@/app/ui/FormToken'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { type EventKind, eventKey, type ReadEvent } from '@/lib/custody/event'
import { type EventField, KINDS } from '@/lib/custody/eventKinds'
import type { EventFormField, EventFormValues } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { capitalised } from '@/lib/schedule/firstLetter'
import { formatZone } from '@/lib/schedule/zoneName'
import type { EventFormState } from './eventFormState'
import { MoveForm } from './MoveForm'

/** Whether what is shown records a cut: a link leads straight to it, so the caution has to stand there. */
export function isRecordingCut({ kind, correcting: change }: EventFormState): boolean {
  return kind === 'collected' && change === null
}

/** What a person can record of a sample: the likeliest next first, and everything else that is theirs to say. */
export function RecordPanel({ recording, children }: { recording: EventFormState; children?: ReactNode }) {
  const {
    code,
    kind,
    next,
    kinds,
    form,
    faults,
    choices,
    zone,
    correcting: change,
    move: moving,
    isSpare,
  } = recording
  if (kinds.length === 0 && change === null) return children
  const here = `/samples/${code}`
  const isUpToCarrier = kind === null && next !== null
  const owesCopy = recording.owesFormCopy && kind !== 'form copy' && change === null
  const others = kinds.filter((one) => one !== kind && !(owesCopy && one === 'form copy'))
  return (
    <>
      {children}
      <section className={styles.panel} id="record">
        <h2>{change ? 'Change what was reported' : kind !== null && kind === next ? 'Next' : 'Record'}</h2>
        {isRecordingCut(recording) && <CuttingCaution />}
        {change && <WithdrawForm change={change} code={code} zone={zone} now={recording.asOf} />}
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
        {change && (
          <p className={styles.hint}>
            The first report stays in sight, struck through. <Link href={here}>Leave it as it is</Link>.
          </p>
        )}
        {isUpToCarrier && (
          <KindLinks
            summary="What the carrier says"
            kinds={others.filter(isSaidByCarrier)}
            here={here}
            isOpen
          />
        )}
        {owesCopy && (
          <p className={styles.owed}>
            It has left, and the copy of its form is still owed.{' '}
            <Link href={`${here}?record=form+copy#record`} scroll={false}>
              Record that it was sent
            </Link>
          </p>
        )}
        {!change && (
          <KindLinks
            summary="Something else happened"
            kinds={others.filter((one) => !isUpToCarrier || !isSaidByCarrier(one))}
            here={here}
            isOpen={kind === null && !isUpToCarrier}
          />
        )}
        {moving && !change && <MoveForm code={code} moving={moving} now={recording.asOf} />}
      </section>
    </>
  )
}

/** What a carrier can say of what it has in hand. */
const isSaidByCarrier = (kind: EventKind) => KINDS[kind].reportedBy.includes('carrier')

/** Kinds to choose from, each leading to its form. */
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

/** Says which report is about to be changed, and takes it out of the count with one press. */
function WithdrawForm({
  change,
  code,
  zone,
  now,
}: {
  change: ReadEvent
  code: string
  zone: string
  now: number
}) {
  const t = useTranslate()
  return (
    <form method="post" action="/api/record/undo" className={styles.form}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="event" value={eventKey(change)} />
      <p>
        {t(KINDS[change.kind].label)}, <Instant at={change.earliestAt} zone={zone} now={now} />. Take it out
        if it did not happen, or put it right below.
      </p>
      <div>
        <button type="submit" className={styles.second}>
          Take it out of the count
        </button>
      </div>
    </form>
  )
}

/** Fields that are seldom needed: they stay folded until something is said in one, or is wrong with it. */
const FOLDED_FIELDS: readonly EventField[] = ['note']

/** Records one kind of event of one kit: one press, now; a time and a note for who has them. */
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
  /** Where its time is read. */
  place: string
  /** The kit's product is not known. */
  isSpare: boolean
}) {
  const t = useTranslate()
  const isCorrecting = form.corrects !== ''
  const seldom: readonly EventField[] =
    isSpare || kind !== 'collected' ? FOLDED_FIELDS : [...FOLDED_FIELDS, 'product']
  const offered = { form, faults, choices, kind }
  const folded: readonly EventFormField[] = [...seldom, 'date', 'time']
  const isOpen =
    isCorrecting ||
    faults.some(({ field }) => folded.includes(field)) ||
    folded.some((one) => form[one] !== '')
  return (
    <form method="post" action="/api/record" className={`${styles.form} ${isCorrecting ? styles.again : ''}`}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="kind" value={kind} />
      {isCorrecting && <input type="hidden" name="corrects" value={form.corrects} />}
      <EventFields {...offered} names={KINDS[kind].fields.filter((name) => !seldom.includes(name))} />
      {isCorrecting && <TimeFields {...form} place={place} faults={faults} />}
      {faults
        .filter(({ field }) => field === 'kind' || field === 'corrects')
        .map(({ detail }) => (
          <p key={detail} className={styles.fault}>
            {detail}
          </p>
        ))}
      <button type="submit" className={styles.press}>
        {isCorrecting ? 'Record it so instead' : `Record: ${getRecordLabel(t, kind)}`}
      </button>
      {!isCorrecting && <p className={styles.hint}>It is recorded as of now, unless you say when.</p>}
      <details className={styles.more} open={isOpen}>
        <summary>{isCorrecting ? 'With a note' : 'At another time, or with a note'}</summary>
        <div className={styles.form}>
          {!isCorrecting && (
            <>
              <TimeFields {...form} place={place} faults={faults} />
              <p className={styles.hint}>
                A time alone is today’s. A day alone is enough where the time is not known.
              </p>
            </>
          )}
          <EventFields {...offered} names={seldom} />
        </div>
      </details>
    </form>
  )
}
