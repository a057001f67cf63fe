import { useTranslate } from '#translate'
import { CONFIRMED, type EventFormValues } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import styles from './EventForm.module.css'

/** Asks first about what would be early or must not be done: why, and a tick to record it all the same. Else nothing. */
export function ConfirmAnyway({ form, faults }: { form: EventFormValues; faults: readonly FormFault[] }) {
  const t = useTranslate()
  const fault = faults.find(({ field }) => field === 'confirm')
  const isConfirmed = form.confirm === CONFIRMED
  if (!fault && !isConfirmed) return null
  return (
    <div>
      {fault && (
        <p id="asked" className={styles.fault}>
          {t.message(fault.detail)}
        </p>
      )}
      <label className={styles.confirm}>
        <input
          type="checkbox"
          name="confirm"
          value={CONFIRMED}
          defaultChecked={isConfirmed}
          aria-describedby={fault && 'asked'}
        />
        {t('record.field.confirm')}
      </label>
    </div>
  )
}
