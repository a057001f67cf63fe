import { ZoneList } from '@/app/me/ZoneList'
import { type FormState, TextField } from './Field'

/** The zone of a place or a person, offered with the time that it is there. `now` in ms UTC. */
export function ZoneField({ form, now, hint }: { form: FormState; now: number; hint: string }) {
  return (
    <>
      <TextField form={form} name="zone" label="Zone" list="zones" isRequired hint={hint} />
      <ZoneList now={now} />
    </>
  )
}
