import { useTranslate } from '#translate'
import { ConditionFields } from '@/app/ui/ConditionFields'
import { createFormToken } from '@/app/ui/createFormToken'
import { EventFields, TimeFields } from '@/app/ui/EventFields'
import styles from '@/app/ui/EventForm.module.css'
import { FormToken } from '@/app/ui/FormToken'
import { getConditionField, isAnswered, readConditionAnswers } from '@/lib/intake/hand/conditionForm'
import { formatZone } from '@/lib/messages/zoneName'
import { BoxDetails } from './BoxDetails'
import { DeskForm } from './DeskForm'
import { OtherBoxes } from './OtherBoxes'
import type { KnownKits } from './readScan'
import type { ReceivingState } from './receivingState'
import { ScanBar } from './ScanBar'
import { TickItem } from './TickItem'
import type { TickRow } from './tickRow'

/** Receives what has come to a laboratory by one press, each box with its own condition. */
export function ReceivingForm({
  laboratory,
  rows,
  state,
  known,
  isFirst,
}: {
  laboratory: { code: string; zone: string }
  rows: readonly TickRow[]
  state: ReceivingState
  /** What is known of kits that are on no list, by code. */
  known: KnownKits
  /** It is the first of its page. */
  isFirst: boolean
}) {
  const t = useTranslate()
  const { form, faults, answers, scan } = state
  const fault = faults.find(({ field }) => field === 'kind')
  return (
    <DeskForm
      listed={rows.map(({ code }) => code)}
      opened={state.opened}
      others={state.others}
      known={known}
      isFirst={isFirst}
      answer={scan.answer}
    >
      <ScanBar last={scan.last} isFirst={isFirst} />
      <FormToken value={createFormToken()} />
      <input type="hidden" name="kind" value="received" />
      <input type="hidden" name="from" value="receiving" />
      <input type="hidden" name="laboratory" value={laboratory.code} />
      {rows.length > 0 && (
        <ul className={styles.ticks}>
          {rows.map((row) => (
            <li key={row.code}>
              <TickItem row={row} />
              <BoxDetails name={row.code} answers={answers[row.code]} faults={faults} />
            </li>
          ))}
        </ul>
      )}
      <OtherBoxes answers={answers} left={state.left} faults={faults} />
      {fault && (
        <p className={styles.fault} data-fault tabIndex={-1}>
          {t.message(fault.detail)}
        </p>
      )}
      <SharedCondition state={state} />
      <button type="submit" className={styles.press} data-record>
        {t('receiving.submit')}
      </button>
      <p className={styles.hint}>{t('receiving.now')}</p>
      <details className={styles.more} open={form.date !== '' || form.time !== '' || form.note !== ''}>
        <summary>{t('record.more.time')}</summary>
        <div className={styles.form}>
          <TimeFields {...form} place={formatZone(laboratory.zone)} faults={faults} />
          <EventFields kind="received" names={['note']} form={form} faults={faults} choices={NO_CHOICES} />
        </div>
      </details>
    </DeskForm>
  )
}

const NO_CHOICES = { services: [], products: [], limits: [], findings: [], untilPlace: '' }

/** Answers that hold for every ticked box, which has to be said. */
function SharedCondition({ state: { form, faults, isForAll } }: { state: ReceivingState }) {
  const t = useTranslate()
  const shared = readConditionAnswers((part) => form[getConditionField(part)])
  const fault = faults.find(({ field }) => field === 'forAll')
  return (
    <details className={styles.more} open={isForAll || isAnswered(shared)}>
      <summary>{t('receiving.forAll.summary')}</summary>
      <div className={styles.form}>
        <ConditionFields prefix="condition" answers={shared} faults={faults} />
        <label className={styles.confirm}>
          <input type="checkbox" name="forAll" value="yes" defaultChecked={isForAll} />
          <span>{t('receiving.forAll.confirm')}</span>
        </label>
        {fault && (
          <p className={styles.fault} data-fault tabIndex={-1}>
            {t.message(fault.detail)}
          </p>
        )}
      </div>
    </details>
  )
}
