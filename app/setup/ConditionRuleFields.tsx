import { useTranslate } from '#translate'
import { CONDITION, CONDITION_PARTS } from '@/lib/custody/condition'
import { GRADES, type Grade } from '@/lib/custody/grade'
import type { PlainMessageKey } from '@/lib/messages/message'
import { type FormState, SelectField, TextField } from './fields'
import { toGradeField } from './forms/conditionRulesForm'

const GRADE_LABELS: Record<Grade, PlainMessageKey> = {
  note: 'setup.grade.note',
  hold: 'setup.grade.hold',
}

/** Which temperatures are right at receipt, and how grave each fault is. */
export function ConditionRuleFields({ form }: { form: FormState }) {
  const t = useTranslate()
  return (
    <>
      <TextField
        form={form}
        name="minTemperature"
        label={t('setup.field.minTemperature')}
        hint={t('setup.field.temperatureHint')}
      />
      <TextField form={form} name="maxTemperature" label={t('setup.field.maxTemperature')} />
      {CONDITION_PARTS.map((part) => {
        const { fault, grade, label } = CONDITION[part]
        if (fault === null) return null
        return (
          <SelectField
            key={fault}
            form={form}
            name={toGradeField(fault)}
            label={t('setup.field.grade', { part: t(label) })}
            none={t('setup.grade.default', { grade: t(GRADE_LABELS[grade]) })}
            options={GRADES.map((one) => [one, t(GRADE_LABELS[one])])}
          />
        )
      })}
    </>
  )
}
