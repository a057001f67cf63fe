import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { PURPOSES, type RegisterDocument } from '@/lib/custody/registerDocument'
import { HOLIDAY_EXAMPLE } from '@/lib/hold/holidayText'
import { MILESTONES } from '@/lib/hold/milestone'
import { COUNTING_LABELS } from '@/lib/hold/units'
import { MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import styles from './Form.module.css'
import { AreaField, type FormState, SelectField, TextField, toOptions, ZoneField } from './fields'
import type { FieldProblem } from './forms/formValues'
import { MAX_LIMITS } from './forms/protocolForm'
import { POSTED_ON_DAY, toPostedFields } from './forms/simpleForms'
import { PURPOSE_LABELS } from './purposeLabels'
import { CertificateFields, DutyFields, FamilyFields, ShutdownFields } from './ScheduleFields'
import { WeekdayFields, WorkdayFields } from './WorkdayFields'

/** The code of a new entry can still be chosen. `now` in ms UTC. */
export function EntryFields({
  list,
  form,
  register,
  isNew,
  now,
}: {
  list: RegisterList
  form: FormState
  register: RegisterDocument
  isNew: boolean
  now: number
}) {
  const t = useTranslate()
  const { plants, protocols } = register
  const code = (hint: string) => (
    <TextField
      form={form}
      name="code"
      label={t('setup.field.code')}
      isRequired
      isReadOnly={!isNew}
      hint={hint}
    />
  )
  const name = <TextField form={form} name="name" label={t('setup.field.name')} isRequired />
  switch (list) {
    case 'laboratories':
      return <LaboratoryFields form={form} code={code(t('setup.field.placeCode'))} now={now} />
    case 'plants':
      return (
        <>
          {code(t('setup.field.placeCode'))}
          {name}
          <TextField
            form={form}
            name="maker"
            label={t('setup.field.maker')}
            hint={t('setup.field.makerHint')}
          />
          <ZoneField form={form} now={now} hint={t('setup.field.plantZone')} />
          <WorkdayFields form={form} legend={t('setup.workdays.plant')} />
        </>
      )
    case 'services':
      return (
        <>
          {code(t('setup.field.serviceCode'))}
          {name}
        </>
      )
    case 'protocols':
      return (
        <>
          {code(t('setup.field.protocolCode'))}
          {name}
          <TextField
            form={form}
            name="tight"
            label={t('setup.field.tight')}
            hint={t('setup.field.tightHint')}
          />
          <TextField
            form={form}
            name="atRisk"
            label={t('setup.field.atRisk')}
            hint={t('setup.field.atRiskHint')}
          />
          <LimitRows form={form} />
        </>
      )
    case 'products':
      return (
        <>
          {code(t('setup.field.productCode'))}
          {name}
          <SelectField
            form={form}
            name="plant"
            label={t('setup.field.plant')}
            options={toOptions(plants)}
            isRequired
          />
          <SelectField
            form={form}
            name="protocol"
            label={t('setup.field.protocol')}
            options={toOptions(protocols)}
            isRequired
          />
        </>
      )
    case 'pickups':
      return <PickupFields form={form} register={register} isNew={isNew} />
    case 'families':
      return (
        <>
          {code(t('setup.field.familyCode'))}
          {name}
          <FamilyFields form={form} register={register} />
        </>
      )
    case 'certificates':
      return (
        <>
          {code(t('setup.field.certificateCode'))}
          <CertificateFields form={form} register={register} />
        </>
      )
    case 'duties':
      return <DutyFields form={form} register={register} code={code(t('setup.field.dutyCode'))} />
    case 'shutdowns':
      return <ShutdownFields form={form} register={register} isNew={isNew} />
    case 'kits':
      return (
        <>
          {code(t('setup.field.kitCode'))}
          <KitFields form={form} register={register} />
          <TextField
            form={form}
            name="replaces"
            label={t('setup.field.replaces')}
            hint={t('setup.field.replacesHint')}
          />
          <input type="hidden" name="issuedAt" value={form.values.issuedAt ?? ''} />
        </>
      )
  }
}

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

function LaboratoryFields({ form, code, now }: { form: FormState; code: ReactNode; now: number }) {
  const t = useTranslate()
  return (
    <>
      {code}
      <TextField form={form} name="name" label={t('setup.field.name')} isRequired />
      <ZoneField form={form} now={now} hint={t('setup.field.laboratoryZone')} />
      <WeekdayFields form={form}>{t('setup.hours.receiving')}</WeekdayFields>
      <div className={styles.wide}>
        <AreaField
          form={form}
          name="holidays"
          label={t('setup.field.holidays')}
          rows={6}
          hint={t.message(HOLIDAY_EXAMPLE)}
        />
      </div>
      <div className={styles.wide}>
        <AreaField
          form={form}
          name="closed"
          label={t('setup.field.closed')}
          hint={t('setup.field.closedHint')}
        />
      </div>
    </>
  )
}

/** A row for each hold limit of a protocol, and two empty rows. */
function LimitRows({ form }: { form: FormState }) {
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
          <SelectField
            form={form}
            name={`counted${row}`}
            label={t('setup.limits.counted')}
            options={counting}
          />
          <TextField form={form} name={`citation${row}`} label={t('setup.limits.citation')} />
        </div>
      ))}
    </fieldset>
  )
}

/** Plant and service identify the entry, so they are chosen once. */
function PickupFields({
  form,
  register,
  isNew,
}: {
  form: FormState
  register: RegisterDocument
  isNew: boolean
}) {
  const t = useTranslate()
  return (
    <>
      {isNew ? (
        <>
          <SelectField
            form={form}
            name="plant"
            label={t('setup.field.plant')}
            options={toOptions(register.plants)}
            isRequired
          />
          <SelectField
            form={form}
            name="service"
            label={t('setup.field.service')}
            options={toOptions(register.services)}
            isRequired
          />
        </>
      ) : (
        <>
          <TextField form={form} name="plant" label={t('setup.field.plant')} isReadOnly />
          <TextField form={form} name="service" label={t('setup.field.service')} isReadOnly />
        </>
      )}
      <WeekdayFields form={form}>{t('setup.hours.pickups')}</WeekdayFields>
    </>
  )
}
