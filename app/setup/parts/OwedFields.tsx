import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { AreaField, choicesOf, type FormState, SelectField, TextField } from './Field'

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
        options={choicesOf(register.products)}
      />
    </>
  )
}

/** For which product or family something is. */
function OfWhat({ form, register }: Props) {
  return (
    <>
      <SelectField
        form={form}
        name="product"
        label="Product"
        none="a family"
        options={choicesOf(register.products)}
      />
      <SelectField
        form={form}
        name="family"
        label="Family"
        none="a product"
        options={choicesOf(register.families)}
      />
    </>
  )
}

export function CertificateFields({ form, register }: Props) {
  return (
    <>
      <OfWhat form={form} register={register} />
      <TextField form={form} name="issued" label="Issued" type="date" isRequired />
      <TextField
        form={form}
        name="expires"
        label="Expires"
        type="date"
        isRequired
        hint="Valid up to the end of this day at the plant."
      />
    </>
  )
}

/** What has to be tested, from when and how often, and how long the parts of the work take. */
export function DutyFields({ form, register }: Props) {
  const count = (name: string, label: string, hint: string) => (
    <TextField form={form} name={name} label={label} hint={hint} isRequired={name !== 'everyMonths'} />
  )
  return (
    <>
      <OfWhat form={form} register={register} />
      <SelectField
        form={form}
        name="protocol"
        label="Protocol"
        none="the product’s own"
        options={choicesOf(register.protocols)}
      />
      <SelectField
        form={form}
        name="laboratory"
        label="Laboratory"
        options={choicesOf(register.laboratories)}
      />
      <SelectField
        form={form}
        name="service"
        label="Service"
        none="not known yet"
        options={choicesOf(register.services)}
      />
      <TextField
        form={form}
        name="first"
        label="First report due"
        type="date"
        isRequired
        hint="On this day at the laboratory."
      />
      {count('everyMonths', 'Then every so many months', 'Due by the end of the month. Empty: once.')}
      {count('windowDays', 'Window, days', 'A kit issued within so many days before a due counts for it.')}
      {count('kitDays', 'Kit on its way, days', 'Calendar days from posting to the plant.')}
      {count('loadDays', 'Receipt to chamber, working days', 'Of the laboratory; 0: on the same day.')}
      {count('testDays', 'In the chamber, days', 'Calendar days from loading to the end of the test.')}
      {count('reportDays', 'Test to report, working days', 'Of the laboratory.')}
    </>
  )
}

/** When a plant is shut. Plant and first day are what the entry is known by, so they are chosen once. */
export function ShutdownFields({ form, register, isNew }: Props & { isNew: boolean }) {
  return (
    <>
      {isNew ? (
        <SelectField form={form} name="plant" label="Plant" options={choicesOf(register.plants)} />
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
