import { PURPOSES, type RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { choicesOf, type FormState, SelectField, TextField } from './Field'
import { LaboratoryFields } from './LaboratoryFields'
import { LimitRows } from './LimitRows'
import { CertificateFields, DutyFields, FamilyFields, ShutdownFields } from './OwedFields'
import { PickupFields } from './PickupFields'
import { PostedFields } from './PostedFields'
import { WorkdayFields } from './WorkdayFields'
import { ZoneField } from './ZoneField'

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
          <SelectField form={form} name="plant" label="Plant" options={choicesOf(plants)} isRequired />
          <SelectField
            form={form}
            name="protocol"
            label="Protocol"
            options={choicesOf(protocols)}
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
      <SelectField form={form} name="plant" label="Plant" options={choicesOf(plants)} isRequired />
      <SelectField
        form={form}
        name="product"
        label="Product"
        none="a spare: not known yet"
        options={choicesOf(products)}
      />
      <SelectField
        form={form}
        name="laboratory"
        label="Laboratory"
        options={choicesOf(laboratories)}
        isRequired
      />
      <SelectField
        form={form}
        name="service"
        label="Service"
        none="not known yet"
        options={choicesOf(services)}
      />
      <SelectField form={form} name="purpose" label="Purpose" options={PURPOSES.map((one) => [one, one])} />
      <PostedFields form={form} />
    </>
  )
}
