import type { ReactNode } from 'react'
import { AskedFields, type Choices, recordWords, TimeFields } from '@/app/ui/AskedFields'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { newToken } from '@/app/ui/newToken'
import styles from '@/app/ui/Record.module.css'
import { Token } from '@/app/ui/Token'
import { type EventKind, keyOf, type ReadEvent } from '@/lib/custody/event'
import { type AskedField, KINDS } from '@/lib/custody/eventKinds'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import type { HandField, HandForm } from '@/lib/intake/hand/handFields'
import { capitalised } from '@/lib/schedule/firstLetter'
import { placeName } from '@/lib/schedule/placeName'
import { MoveForm } from './MoveForm'
import type { Recording } from './recording'

/** Whether what is shown records a cut: a link leads straight to it, so the caution has to stand there. */
export function recordsCut({ kind, change }: Recording): boolean {
  return kind === 'collected' && change === null
}

/** What a person can record of a sample: the likeliest next first, and everything else that is theirs to say. */
export function RecordPanel({ recording, children }: { recording: Recording; children?: ReactNode }) {
  const { code, kind, next, kinds, form, faults, choices, zone, change, moving, isSpare } = recording
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
        {recordsCut(recording) && <CuttingCaution />}
        {change && <ChangePanel change={change} code={code} zone={zone} now={recording.asOf} />}
        {kind !== null && (
          <RecordForm
            key={`${kind} ${form.corrects}`}
            code={code}
            kind={kind}
            form={form}
            faults={faults}
            choices={choices}
            place={placeName(zone)}
            isSpare={isSpare}
          />
        )}
        {change && (
          <p className={styles.hint}>
            The first report stays in sight, struck through. <Link href={here}>Leave it as it is</Link>.
          </p>
        )}
        {isUpToCarrier && (
          <Others summary="What the carrier says" kinds={others.filter(isOfCarrier)} here={here} isOpen />
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
          <Others
            summary="Something else happened"
            kinds={others.filter((one) => !isUpToCarrier || !isOfCarrier(one))}
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
const isOfCarrier = (kind: EventKind) => KINDS[kind].saidBy.includes('carrier')

/** Kinds to choose from, each leading to its form. */
function Others({
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
  if (kinds.length === 0) return null
  return (
    <details className={styles.more} open={isOpen}>
      <summary>{summary}</summary>
      <ul className={styles.others}>
        {kinds.map((one) => (
          <li key={one}>
            <Link href={`${here}?record=${encodeURIComponent(one)}#record`} scroll={false}>
              {recordWords(one)}
            </Link>
          </li>
        ))}
      </ul>
    </details>
  )
}

/** Says which report is about to be changed, and takes it out of the count with one press. */
function ChangePanel({
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
  return (
    <form method="post" action="/api/record/undo" className={styles.form}>
      <Token value={newToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="event" value={keyOf(change)} />
      <p>
        {capitalised(KINDS[change.kind].happened)}, <Instant at={change.earliestAt} zone={zone} now={now} />.
        Take it out if it did not happen, or put it right below.
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
const SELDOM: readonly AskedField[] = ['note']

/** Records one kind of event of one kit: one press, now; a time and a note for who has them. */
function RecordForm({
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
  form: HandForm
  faults: readonly HandFault[]
  choices: Choices
  /** Where its time is read. */
  place: string
  /** The kit's product is not known. */
  isSpare: boolean
}) {
  const isCorrecting = form.corrects !== ''
  const seldom: readonly AskedField[] = isSpare || kind !== 'collected' ? SELDOM : [...SELDOM, 'product']
  const offered = { form, faults, choices, kind }
  const folded: readonly HandField[] = [...seldom, 'date', 'time']
  const isOpen =
    isCorrecting ||
    faults.some(({ field }) => folded.includes(field)) ||
    folded.some((one) => form[one] !== '')
  return (
    <form method="post" action="/api/record" className={`${styles.form} ${isCorrecting ? styles.again : ''}`}>
      <Token value={newToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="kind" value={kind} />
      {isCorrecting && <input type="hidden" name="corrects" value={form.corrects} />}
      <AskedFields {...offered} names={KINDS[kind].asks.filter((name) => !seldom.includes(name))} />
      {isCorrecting && <TimeFields {...form} place={place} faults={faults} />}
      {faults
        .filter(({ field }) => field === 'kind' || field === 'corrects')
        .map(({ detail }) => (
          <p key={detail} className={styles.fault}>
            {detail}
          </p>
        ))}
      <button type="submit" className={styles.press}>
        {isCorrecting ? 'Record it so instead' : `Record: ${recordWords(kind)}`}
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
          <AskedFields {...offered} names={seldom} />
        </div>
      </details>
    </form>
  )
}
