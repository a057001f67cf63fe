import Link from 'next/link'
import type { ReactNode } from 'react'
import { placeName } from '@/lib/schedule/placeName'
import type { Recording } from '../../samples/[code]/recording'
import { recordWords } from '../../words/recordWords'
import { CuttingCaution } from '../CuttingCaution'
import { ChangePanel } from './ChangePanel'
import { MoveForm } from './MoveForm'
import styles from './Record.module.css'
import { RecordForm } from './RecordForm'

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
        {owesCopy && (
          <p className={styles.owed}>
            It has left, and the copy of its form is still owed.{' '}
            <Link href={`${here}?record=form+copy#record`} prefetch={false} scroll={false}>
              Record that it was sent
            </Link>
          </p>
        )}
        {others.length > 0 && !change && (
          <details className={styles.more} open={kind === null}>
            <summary>{isUpToCarrier ? 'What the carrier says' : 'Something else happened'}</summary>
            <ul className={styles.others}>
              {others.map((one) => (
                <li key={one}>
                  <Link
                    href={`${here}?record=${encodeURIComponent(one)}#record`}
                    prefetch={false}
                    scroll={false}
                  >
                    {recordWords(one)}
                  </Link>
                </li>
              ))}
            </ul>
          </details>
        )}
        {moving && !change && <MoveForm code={code} moving={moving} now={recording.asOf} />}
      </section>
    </>
  )
}
