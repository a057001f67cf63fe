import { useTranslate } from '#translate'
import { MILESTONES } from '@/lib/hold/milestone'
import { COUNTING_LABELS } from '@/lib/hold/units'
import { MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import styles from './Form.module.css'
import { type FormState, SelectField, TextField } from './fields'
import { MAX_LIMITS, NOT_EXTENDABLE } from './forms/protocolForm'

/** A row for each hold limit of a protocol, and two empty rows. */
export function LimitRows({ form }: { form: FormState }) {
  const t = useTranslate()
  const milestones = MILESTONES.map((one) => [one, t(MILESTONE_LABELS[one])] as const)
  const counting = [...COUNTING_LABELS].map(([choice, label]) => [choice, t(label)] as const)
  const rows = Array.from({ length: MAX_LIMITS }, (_, index) => index + 1)
  const filled = rows.filter((row) => form.values[`limit${row}`] || form.values[`amount${row}`])
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{t('setup.limits.legend')}</legend>
      {rows.slice(0, Math.max(0, ...filled) + 2).map((row) => (
        <div key={row} className={styles.limit}>
          <TextField form={form} name={`limit${row}`} label={t('setup.limits.name', { row })} />
          <SelectField
            form={form}
            name={`from${row}`}
            label={t('setup.limits.from')}
            options={milestones.slice(0, -1)}
          />
          <SelectField
            form={form}
            name={`to${row}`}
            label={t('setup.limits.to')}
            options={milestones.slice(1)}
          />
          <TextField form={form} name={`amount${row}`} label={t('setup.limits.amount')} />
          <TextField form={form} name={`atLeast${row}`} label={t('setup.limits.atLeast')} />
          <SelectField
            form={form}
            name={`counted${row}`}
            label={t('setup.limits.counted')}
            options={counting}
          />
          <div className={styles.checks}>
            <label>
              <input
                type="checkbox"
                name={`extendable${row}`}
                value={NOT_EXTENDABLE}
                defaultChecked={form.values[`extendable${row}`] === NOT_EXTENDABLE}
              />
              {t('setup.limits.notExtendable')}
            </label>
          </div>
          <TextField form={form} name={`citation${row}`} label={t('setup.limits.citation')} />
        </div>
      ))}
    </fieldset>
  )
}
