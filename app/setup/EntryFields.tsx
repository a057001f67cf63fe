import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { HOLIDAY_EXAMPLE } from '@/lib/hold/holidayText'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { ConditionRuleFields } from './ConditionRuleFields'
import styles from './Form.module.css'
import { AreaField, type FormState, SelectField, TextField, toOptions, ZoneField } from './fields'
import { KitFields } from './KitFields'
import { LimitRows } from './LimitRows'
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
          <ConditionRuleFields form={form} />
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
