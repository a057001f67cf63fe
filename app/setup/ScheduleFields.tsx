import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import styles from './Form.module.css'
import { AreaField, type FormState, SelectField, TextField, toOptions } from './fields'

interface Props {
  form: FormState
  register: RegisterDocument
}

export function FamilyFields({ form, register }: Props) {
  const t = useTranslate()
  const members = { ...form.values, members: (form.values.members ?? '').replaceAll('; ', '\n') }
  return (
    <>
      <AreaField
        form={{ ...form, values: members }}
        name="members"
        label={t('setup.family.members')}
        hint={t('setup.family.membersHint')}
      />
      <SelectField
        form={form}
        name="tested"
        label={t('setup.family.tested')}
        hint={t('setup.family.testedHint')}
        options={toOptions(register.products)}
        isRequired
      />
      <UngroupedProducts register={register} />
    </>
  )
}

/** The codes of products that can still become members. */
function UngroupedProducts({ register }: Pick<Props, 'register'>) {
  const t = useTranslate()
  const taken = new Set(register.families.flatMap(({ members }) => members))
  const free = register.products.filter(({ code }) => !taken.has(code))
  if (free.length === 0) return null
  return (
    <details className={styles.wide}>
      <summary>{t('setup.family.free')}</summary>
      <ul>
        {free.map(({ code, name, plant }) => (
          <li key={code}>
            {rich(t, 'setup.family.freeProduct', {
              product: code,
              name,
              plant,
              code: (text) => <code>{text}</code>,
            })}
          </li>
        ))}
      </ul>
    </details>
  )
}

/** One of the two is filled in. */
function SubjectFields({ form, register }: Props) {
  const t = useTranslate()
  return (
    <>
      <SelectField
        form={form}
        name="product"
        label={t('setup.subject.product')}
        none={t('setup.subject.noProduct')}
        options={toOptions(register.products)}
      />
      <SelectField
        form={form}
        name="family"
        label={t('setup.subject.family')}
        none={t('setup.subject.noFamily')}
        options={toOptions(register.families)}
      />
    </>
  )
}

function FieldGroup({ legend, children }: { legend: string; children: ReactNode }) {
  return (
    <fieldset className={styles.set}>
      <legend className={styles.heading}>{legend}</legend>
      <div className={styles.group}>{children}</div>
    </fieldset>
  )
}

export function CertificateFields({ form, register }: Props) {
  const t = useTranslate()
  return (
    <>
      <SubjectFields form={form} register={register} />
      <TextField form={form} name="issued" label={t('setup.certificate.issued')} type="date" isRequired />
      <TextField
        form={form}
        name="expires"
        label={t('setup.certificate.expires')}
        type="date"
        isRequired
        hint={t('setup.certificate.expiresHint')}
      />
    </>
  )
}

export function DutyFields({ form, register, code }: Props & { code: ReactNode }) {
  const t = useTranslate()
  const count = (name: string, label: string, hint: string) => (
    <TextField form={form} name={name} label={label} hint={hint} isRequired={name !== 'everyMonths'} />
  )
  return (
    <>
      <FieldGroup legend={t('setup.duty.what')}>
        {code}
        <SubjectFields form={form} register={register} />
        <SelectField
          form={form}
          name="laboratory"
          label={t('setup.field.laboratory')}
          options={toOptions(register.laboratories)}
          isRequired
        />
        <SelectField
          form={form}
          name="service"
          label={t('setup.field.service')}
          none={t('setup.field.unknownService')}
          options={toOptions(register.services)}
        />
        <SelectField
          form={form}
          name="protocol"
          label={t('setup.field.protocol')}
          none={t('setup.duty.ownProtocol')}
          options={toOptions(register.protocols)}
        />
      </FieldGroup>
      <FieldGroup legend={t('setup.duty.when')}>
        <TextField
          form={form}
          name="first"
          label={t('setup.duty.first')}
          type="date"
          isRequired
          hint={t('setup.duty.firstHint')}
        />
        {count('everyMonths', t('setup.duty.everyMonths'), t('setup.duty.everyMonthsHint'))}
        {count('windowDays', t('setup.duty.window'), t('setup.duty.windowHint'))}
      </FieldGroup>
      <FieldGroup legend={t('setup.duty.howLong')}>
        {count('kitDays', t('setup.duty.kit'), t('setup.duty.kitHint'))}
        {count('loadDays', t('setup.duty.load'), t('setup.duty.loadHint'))}
        {count('testDays', t('setup.duty.test'), t('setup.duty.testHint'))}
        {count('reportDays', t('setup.duty.report'), t('setup.duty.reportHint'))}
      </FieldGroup>
    </>
  )
}

/** Plant and first day identify the entry, so they are chosen once. */
export function ShutdownFields({ form, register, isNew }: Props & { isNew: boolean }) {
  const t = useTranslate()
  return (
    <>
      {isNew ? (
        <SelectField
          form={form}
          name="plant"
          label={t('setup.field.plant')}
          options={toOptions(register.plants)}
          isRequired
        />
      ) : (
        <TextField form={form} name="plant" label={t('setup.field.plant')} isReadOnly />
      )}
      <TextField
        form={form}
        name="from"
        label={t('setup.shutdown.from')}
        type="date"
        isRequired
        isReadOnly={!isNew}
      />
      <TextField
        form={form}
        name="to"
        label={t('setup.shutdown.to')}
        type="date"
        hint={t('setup.shutdown.toHint')}
      />
      <TextField
        form={form}
        name="reason"
        label={t('setup.shutdown.reason')}
        hint={t('setup.form.optional')}
      />
    </>
  )
}
