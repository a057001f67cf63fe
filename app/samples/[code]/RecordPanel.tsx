import type { ReactNode } from 'react'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { Link } from '@/app/ui/Link'
import styles from '@/app/ui/Record.module.css'
import { recordWords } from '@/app/ui/words/recordWords'
import type { EventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { placeName } from '@/lib/schedule/placeName'
import { ChangePanel } from './ChangePanel'
import { MoveForm } from './MoveForm'
import { RecordForm } from './RecordForm'
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
