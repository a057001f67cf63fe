import { useTranslate } from '#translate'
import { PURPOSES, type RegisterDocument } from '@/lib/custody/registerDocument'
import { type FormState, SelectField, TextField, toOptions } from './fields'
import type { FieldProblem } from './forms/formValues'
import { POSTED_ON_DAY, toPostedFields } from './forms/simpleForms'
import { PURPOSE_LABELS } from './purposeLabels'

export function KitFields({ form, register }: { form: FormState; register: RegisterDocument }) {
  const t = useTranslate()
  const { plants, products, laboratories, services } = register
  return (
    <>
      <SelectField
        form={form}
        name="plant"
        label={t('setup.field.plant')}
        options={toOptions(plants)}
        isRequired
      />
      <SelectField
        form={form}
        name="product"
        label={t('setup.field.product')}
        none={t('setup.field.noProduct')}
        options={toOptions(products)}
      />
      <SelectField
        form={form}
        name="laboratory"
        label={t('setup.field.laboratory')}
        options={toOptions(laboratories)}
        isRequired
      />
      <SelectField
        form={form}
        name="service"
        label={t('setup.field.service')}
        none={t('setup.field.unknownService')}
        options={toOptions(services)}
      />
      <SelectField
        form={form}
        name="purpose"
        label={t('setup.field.purpose')}
        options={PURPOSES.map((one) => [one, t(PURPOSE_LABELS[one])])}
      />
      <PostedFields form={form} />
    </>
  )
}

const POSTED_OPTIONS = [
  ['', 'setup.posted.withIssue'],
  ['not yet', 'setup.posted.notYet'],
  [POSTED_ON_DAY, 'setup.posted.onDay'],
] as const

function PostedFields({ form }: { form: FormState }) {
  const t = useTranslate()
  const values = { ...form.values, ...toPostedFields(form.values) }
  // The register's problem with `posted` is about the day if one is entered.
  const moveToShownField = (problem: FieldProblem) =>
    problem.field === 'posted' && values.posted === POSTED_ON_DAY
      ? { ...problem, field: 'postedOn' }
      : problem
  const shown = { values, problems: form.problems.map(moveToShownField) }
  return (
    <>
      <SelectField
        form={shown}
        name="posted"
        label={t('setup.posted.label')}
        options={POSTED_OPTIONS.map(([value, key]) => [value, t(key)])}
      />
      <TextField
        form={shown}
        name="postedOn"
        label={t('setup.posted.day')}
        type="date"
        hint={t('setup.posted.dayHint')}
      />
    </>
  )
}
