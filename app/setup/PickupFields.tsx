import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { choicesOf, type FormState, SelectField, TextField } from './Field'
import { WeekdayFields } from './WeekdayFields'

/** When a service calls at a plant. The pair is what the entry is known by, so it is chosen once. */
export function PickupFields({
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
            options={choicesOf(register.plants)}
            isRequired
          />
          <SelectField
            form={form}
            name="service"
            label="Service"
            options={choicesOf(register.services)}
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
