import { useTranslate } from '#translate'
import { CONFIRM_EARLY, type EventFormValues } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import styles from './EventForm.module.css'

/** Asks first where an event would be early: why, and a tick to record it all the same. Nothing where it would not be. */
export function ConfirmEarly({ form, faults }: { form: EventFormValues; faults: readonly FormFault[] }) {
  const t = useTranslate()
  const fault = faults.find(({ field }) => field === 'confirm')
  const isConfirmed = form.confirm === CONFIRM_EARLY
  if (!fault && !isConfirmed) return null
  return (
    <div>
      {fault && (
        <p id="early" className={styles.fault}>
          {t.message(fault.detail)}
        </p>
      )}
      <label className={styles.confirm}>
        <input
          type="checkbox"
          name="confirm"
          value={CONFIRM_EARLY}
          defaultChecked={isConfirmed}
          aria-describedby={fault && 'early'}
        />
        {t('record.field.confirmEarly')}
      </label>
    </div>
  )
}
