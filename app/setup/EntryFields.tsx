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
import { CLOSURE_HINT } from './forms/closures'
import type { FieldProblem } from './forms/formValues'
import { MAX_LIMITS } from './forms/protocolForm'
import { POSTED_ON_DAY, toPostedFields } from './forms/simpleForms'
import { CertificateFields, DutyFields, FamilyFields, ShutdownFields } from './ScheduleFields'
import { WeekdayFields, WorkdayFields } from './WorkdayFields'

/** The fields of an entry of one list. `isNew`: its code can still be chosen. `now` in ms UTC. */
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
  const { plants, protocols } = register
  const code = (hint: string) => (
    <TextField form={form} name="code" label="Code" isRequired isFixed={!isNew} hint={hint} />
  )
  const name = <TextField form={form} name="name" label="Name" isRequired />
  switch (list) {
    case 'laboratories':
      return <LaboratoryFields form={form} code={code('Short; events name it so.')} now={now} />
    case 'plants':
      return (
        <>
          {code('Short; events name it so.')}
          {name}
          <TextField form={form} name="maker" label="Maker" hint="Whose plant it is; may stay empty." />
          <ZoneField form={form} now={now} hint="Type the city; times reported there are read in it." />
          <WorkdayFields form={form} legend="Workdays: on these it cuts and hands over" />
        </>
      )
    case 'services':
      return (
        <>
          {code('As events name it, together with the waybill.')}
          {name}
        </>
      )
    case 'protocols':
      return (
        <>
          {code('Short, for products to name.')}
          {name}
          <TextField
            form={form}
            name="tight"
            label="Tight from (% chance to miss the limit)"
            hint="5 unless set. Where nothing can be forecast yet: from 60 % of the time used."
          />
          <TextField
            form={form}
            name="atRisk"
            label="At risk from (% chance to miss the limit)"
            hint="20 unless set. Where nothing can be forecast yet: from 85 % of the time used."
          />
          <LimitRows form={form} />
        </>
      )
    case 'products':
      return (
        <>
          {code('As the plant names it.')}
          {name}
          <SelectField form={form} name="plant" label="Plant" options={toOptions(plants)} isRequired />
          <SelectField
            form={form}
            name="protocol"
            label="Protocol"
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
          {code('Short, for certificates and duties to name.')}
          {name}
          <FamilyFields form={form} register={register} />
        </>
      )
    case 'certificates':
      return (
        <>
          {code('Its number, as it is printed.')}
          <CertificateFields form={form} register={register} />
        </>
      )
    case 'duties':
      return <DutyFields form={form} register={register} code={code('Short, to speak of it by.')} />
    case 'shutdowns':
      return <ShutdownFields form={form} register={register} isNew={isNew} />
    case 'kits':
      return (
        <>
          {code('It stands on the label.')}
          <KitFields form={form} register={register} />
          <TextField form={form} name="replaces" label="Replaces" hint="A kit code, for a re-collection." />
          <input type="hidden" name="issuedAt" value={form.values.issuedAt ?? ''} />
        </>
      )
  }
}

/** For which plant, product and laboratory kits are, how they travel, and what for. */
export function KitFields({ form, register }: { form: FormState; register: RegisterDocument }) {
  const { plants, products, laboratories, services } = register
  return (
    <>
      <SelectField form={form} name="plant" label="Plant" options={toOptions(plants)} isRequired />
      <SelectField
        form={form}
        name="product"
        label="Product"
        none="a spare: not known yet"
        options={toOptions(products)}
      />
      <SelectField
        form={form}
        name="laboratory"
        label="Laboratory"
        options={toOptions(laboratories)}
        isRequired
      />
      <SelectField
        form={form}
        name="service"
        label="Service"
        none="not known yet"
        options={toOptions(services)}
      />
      <SelectField form={form} name="purpose" label="Purpose" options={PURPOSES.map((one) => [one, one])} />
      <PostedFields form={form} />
    </>
  )
}

const POSTED_OPTIONS = [
  ['', 'with its issue'],
  ['not yet', 'not yet'],
  [POSTED_ON_DAY, 'on this day'],
] as const

/** Whether and when a kit went to its plant. */
function PostedFields({ form }: { form: FormState }) {
  const values = { ...form.values, ...toPostedFields(form.values) }
  // What the register says of the day is said beside the day.
  const moveToShownField = (problem: FieldProblem) =>
    problem.field === 'posted' && values.posted === POSTED_ON_DAY
      ? { ...problem, field: 'postedOn' }
      : problem
  const shown = { values, problems: form.problems.map(moveToShownField) }
  return (
    <>
      <SelectField form={shown} name="posted" label="Posted" options={POSTED_OPTIONS} />
      <TextField
        form={shown}
        name="postedOn"
        label="Day it was posted"
        type="date"
        hint="The date at the plant; only with “on this day”."
      />
    </>
  )
}

/** What a laboratory says of itself: its hours by weekday, its closures, its holidays by rule. */
function LaboratoryFields({ form, code, now }: { form: FormState; code: ReactNode; now: number }) {
  const t = useTranslate()
  return (
    <>
      {code}
      <TextField form={form} name="name" label="Name" isRequired />
      <ZoneField form={form} now={now} hint="Type the city; its days are counted in it." />
      <WeekdayFields form={form}>
        Receiving hours, as 08:00-16:30, or 08:00-12:00, 13:00-16:30. A weekday without any is closed.
      </WeekdayFields>
      <div className={styles.wide}>
        <AreaField
          form={form}
          name="holidays"
          label="Holidays by rule, one a line"
          rows={6}
          hint={t.message(HOLIDAY_EXAMPLE)}
        />
      </div>
      <div className={styles.wide}>
        <AreaField form={form} name="closed" label="Other closed days, one a line" hint={CLOSURE_HINT} />
      </div>
    </>
  )
}

/** The hold limits of a protocol, a row each: those that there are, and two empty rows more. */
function LimitRows({ form }: { form: FormState }) {
  const t = useTranslate()
  const milestones = MILESTONES.map((one) => [one, t(MILESTONE_LABELS[one])] as const)
  const counting = [...COUNTING_LABELS].map(([choice, label]) => [choice, t(label)] as const)
  const rows = Array.from({ length: MAX_LIMITS }, (_, index) => index + 1)
  const filled = rows.filter((row) => form.values[`limit${row}`] || form.values[`amount${row}`])
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>
        Hold limits: the longest time allowed from one moment to another. A row without name and amount is
        left out.
      </legend>
      {rows.slice(0, Math.max(0, ...filled) + 2).map((row) => (
        <div key={row} className={styles.limit}>
          <TextField form={form} name={`limit${row}`} label={`Limit ${row}: name`} />
          <SelectField form={form} name={`from${row}`} label="From" options={milestones.slice(0, -1)} />
          <SelectField form={form} name={`to${row}`} label="Until" options={milestones.slice(1)} />
          <TextField form={form} name={`amount${row}`} label="At most" />
          <SelectField form={form} name={`counted${row}`} label="Counted in" options={counting} />
          <TextField form={form} name={`citation${row}`} label="Source of the limit" />
        </div>
      ))}
    </fieldset>
  )
}

/** When a service calls at a plant. The pair is what the entry is known by, so it is chosen once. */
function PickupFields({
  form,
  register,
  isNew,
}: {
  form: FormState
  register: RegisterDocument
  isNew: boolean
}) {
  return (
    <>
      {isNew ? (
        <>
          <SelectField
            form={form}
            name="plant"
            label="Plant"
            options={toOptions(register.plants)}
            isRequired
          />
          <SelectField
            form={form}
            name="service"
            label="Service"
            options={toOptions(register.services)}
            isRequired
          />
        </>
      ) : (
        <>
          <TextField form={form} name="plant" label="Plant" isFixed />
          <TextField form={form} name="service" label="Service" isFixed />
        </>
      )}
      <WeekdayFields form={form}>
        When it calls, as 16:30, on the clock of the plant. A weekday without an hour has no pickup.
      </WeekdayFields>
    </>
  )
}
