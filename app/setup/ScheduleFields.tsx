import type { ReactNode } from 'react'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import styles from './Form.module.css'
import { AreaField, type FormState, SelectField, TextField, toOptions } from './fields'

interface Props {
  form: FormState
  register: RegisterDocument
}

/** Which products belong together, and which of them is tested for all. */
export function FamilyFields({ form, register }: Props) {
  const members = { ...form.values, members: (form.values.members ?? '').replaceAll('; ', '\n') }
  return (
    <>
      <AreaField
        form={{ ...form, values: members }}
        name="members"
        label="Members"
        hint="Codes of products, one a line; a product belongs to one family."
      />
      <SelectField
        form={form}
        name="tested"
        label="Tested for all"
        hint="The member that is cut and tested."
        options={toOptions(register.products)}
        isRequired
      />
      <UngroupedProducts register={register} />
    </>
  )
}

/** The codes that can be written as members: of the products that are in no family yet. */
function UngroupedProducts({ register }: Pick<Props, 'register'>) {
  const taken = new Set(register.families.flatMap(({ members }) => members))
  const free = register.products.filter(({ code }) => !taken.has(code))
  if (free.length === 0) return null
  return (
    <details className={styles.wide}>
      <summary>Products that are in no family</summary>
      <ul>
        {free.map(({ code, name, plant }) => (
          <li key={code}>
            <code>{code}</code> {name}, of {plant}
          </li>
        ))}
      </ul>
    </details>
  )
}

/** For which product or family something is: one of the two. */
function SubjectFields({ form, register }: Props) {
  return (
    <>
      <SelectField
        form={form}
        name="product"
        label="For the product"
        none="none: it is for a family"
        options={toOptions(register.products)}
      />
      <SelectField
        form={form}
        name="family"
        label="or for the family"
        none="none: it is for one product"
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

/** What a certificate is of, and from when to when it holds. */
export function CertificateFields({ form, register }: Props) {
  return (
    <>
      <SubjectFields form={form} register={register} />
      <TextField form={form} name="issued" label="Issued" type="date" isRequired />
      <TextField
        form={form}
        name="expires"
        label="Expires"
        type="date"
        isRequired
        hint="Valid through the end of this day at the plant."
      />
    </>
  )
}

/** What has to be tested, from when and how often, and how long the parts of the work take. */
export function DutyFields({ form, register, code }: Props & { code: ReactNode }) {
  const count = (name: string, label: string, hint: string) => (
    <TextField form={form} name={name} label={label} hint={hint} isRequired={name !== 'everyMonths'} />
  )
  return (
    <>
      <FieldGroup legend="What is tested, and where">
        {code}
        <SubjectFields form={form} register={register} />
        <SelectField
          form={form}
          name="laboratory"
          label="Laboratory"
          options={toOptions(register.laboratories)}
          isRequired
        />
        <SelectField
          form={form}
          name="service"
          label="Service that carries it"
          none="not known yet"
          options={toOptions(register.services)}
        />
        <SelectField
          form={form}
          name="protocol"
          label="Protocol"
          none="the product’s own"
          options={toOptions(register.protocols)}
        />
      </FieldGroup>
      <FieldGroup legend="When its report is due">
        <TextField
          form={form}
          name="first"
          label="First report due"
          type="date"
          isRequired
          hint="By the end of this day at the laboratory."
        />
        {count('everyMonths', 'Then every so many months', 'Each by the end of its month. Empty: only once.')}
        {count('windowDays', 'Window, days', 'A kit issued within so many days before a due counts for it.')}
      </FieldGroup>
      <FieldGroup legend="How long the work takes, for working back from the report">
        {count('kitDays', 'Kit on its way, days', 'From posting to the plant.')}
        {count('loadDays', 'Receipt to chamber, working days', 'Of the laboratory; 0: on the same day.')}
        {count('testDays', 'In the chamber, days', 'From loading to the end of the test.')}
        {count('reportDays', 'Test to report, working days', 'Of the laboratory.')}
      </FieldGroup>
    </>
  )
}

/** When a plant is shut. Plant and first day are what the entry is known by, so they are chosen once. */
export function ShutdownFields({ form, register, isNew }: Props & { isNew: boolean }) {
  return (
    <>
      {isNew ? (
        <SelectField form={form} name="plant" label="Plant" options={toOptions(register.plants)} isRequired />
      ) : (
        <TextField form={form} name="plant" label="Plant" isFixed />
      )}
      <TextField form={form} name="from" label="First day" type="date" isRequired isFixed={!isNew} />
      <TextField
        form={form}
        name="to"
        label="Last day"
        type="date"
        hint="Local dates of the plant. Empty: the same day."
      />
      <TextField form={form} name="reason" label="Reason" hint="May stay empty." />
    </>
  )
}
