'use client'

import { useId } from 'react'
import { useTranslate } from '#translate'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { formatKitCode, isKitCode } from '@/lib/custody/kitCode'
import type { ConditionAnswers } from '@/lib/intake/hand/conditionForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { OtherBox } from '@/lib/intake/hand/receiptForm'
import { BoxDetails } from './BoxDetails'
import { useDesk } from './DeskContext'

/** The boxes that are on no list: of an unknown code, of a kit that nobody handed over, or without a readable code. */
export function OtherBoxes({
  answers,
  left,
  faults,
}: {
  answers: Readonly<Record<string, ConditionAnswers>>
  /** Names of those that are not to be received. */
  left: readonly string[]
  faults: readonly FormFault[]
}) {
  const t = useTranslate()
  const { others } = useDesk()
  const headingId = useId()
  if (others.length === 0) return null
  return (
    <section aria-labelledby={headingId}>
      <h3 id={headingId}>{t('receiving.box.heading')}</h3>
      <p className={styles.about}>{t('receiving.box.about')}</p>
      <ul className={styles.ticks}>
        {others.map((box) => (
          <li key={box.name}>
            <BoxLabel box={box} isTicked={!left.includes(box.name)} />
            <BoxDetails name={box.name} answers={answers[box.name]} faults={faults}>
              <BoxFields box={box} faults={faults} />
            </BoxDetails>
          </li>
        ))}
      </ul>
    </section>
  )
}

function BoxLabel({ box: { name }, isTicked }: { box: OtherBox; isTicked: boolean }) {
  const t = useTranslate()
  const { known } = useDesk()
  const isKit = isKitCode(name)
  return (
    <label>
      <input type="checkbox" name="box" value={name} defaultChecked={isTicked} />
      <span>
        {isKit ? <code>{formatKitCode(name)}</code> : t('receiving.box.noCode')}
        {isKit && <small>{known[name]?.text ?? t('receiving.box.notListed')}</small>}
      </span>
    </label>
  )
}

function BoxFields({
  box: { name, waybill, written },
  faults,
}: {
  box: OtherBox
  faults: readonly FormFault[]
}) {
  const t = useTranslate()
  return (
    <div className={styles.pair}>
      <Field name={`box.${name}.written`} label={t('receiving.box.written')} faults={faults}>
        {(control) => (
          <input {...control} type="text" maxLength={500} autoComplete="off" defaultValue={written} />
        )}
      </Field>
      <Field name={`box.${name}.waybill`} label={t('receiving.box.waybill')} faults={faults}>
        {(control) => (
          <input
            {...control}
            type="text"
            maxLength={100}
            autoComplete="off"
            autoCapitalize="characters"
            defaultValue={waybill}
          />
        )}
      </Field>
    </div>
  )
}
