import { canonical } from '@/lib/custody/kitCode'
import {
  type KitContent,
  type PickupContent,
  type PlantContent,
  type ProductContent,
  pickupCode,
  type ServiceContent,
  WEEKDAYS,
} from '@/lib/custody/registerDocument'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { workdaysIn } from '../weekHours'
import { type FieldProblem, type FormValues, optional } from './formValues'

/** A plant, service, product, pickup or kit as its form and its CSV have it: a field for each thing it says. */

export function plantValues({ code, name, maker, zone, workdays = [] }: PlantContent): FormValues {
  return { code, name, maker: maker ?? '', zone, workdays: workdays.join(' ') }
}

export function plantContent(values: FormValues): EntryContent {
  const { code, name, zone } = values
  return { code, name, maker: optional(values.maker), zone, workdays: workdaysIn(values) }
}

export function serviceValues({ code, name }: ServiceContent): FormValues {
  return { code, name }
}

export function serviceContent({ code, name }: FormValues): EntryContent {
  return { code, name }
}

export function productValues({ code, name, plant, protocol }: ProductContent): FormValues {
  return { code, name, plant, protocol }
}

export function productContent({ code, name, plant, protocol }: FormValues): EntryContent {
  return { code, name, plant, protocol }
}

export function pickupValues({ plant, service, hours }: PickupContent): FormValues {
  return { plant, service, ...Object.fromEntries(WEEKDAYS.map((day) => [day, hours[day] ?? ''])) }
}

export function pickupContent(values: FormValues): EntryContent {
  const { plant = '', service = '' } = values
  const hours = WEEKDAYS.flatMap((day) => (values[day] ? [[day, hourText(values[day])]] : []))
  return { code: pickupCode(plant, service), plant, service, hours: Object.fromEntries(hours) }
}

/** "9:30" as the register writes it: 09:30. */
function hourText(text: string): string {
  return text.replace(/^(\d):/, '0$1:')
}

export function kitValues(kit: KitContent): FormValues {
  const { code, plant, laboratory, issuedAt } = kit
  const { product = '', service = '', purpose = 'first', posted = '', replaces = '' } = kit
  return { code, plant, product, laboratory, service, purpose, posted, replaces, issuedAt }
}

export function kitContent(values: FormValues): EntryContent {
  const { code, plant, laboratory, issuedAt } = values
  return {
    code,
    plant,
    product: optional(values.product),
    laboratory,
    service: optional(values.service),
    purpose: optional(values.purpose),
    posted: postedIn(values),
    replaces: optional(canonical(values.replaces ?? '')),
    issuedAt,
  }
}

/** What a form has chosen of a kit's posting where it names the day in `postedOn`; a CSV names the day itself. */
export const ON_A_DAY = 'on'

/** When a kit was posted, as its entry has it: a day, that it was not yet, or undefined: with its issue. */
function postedIn({ posted, postedOn = '' }: FormValues): string | undefined {
  return posted === ON_A_DAY ? postedOn : optional(posted)
}

/** What a form shows of it: which of the three, and the day. */
export function postedShown({ posted = '', postedOn = '' }: FormValues): FormValues {
  const isDay = posted !== '' && posted !== 'not yet' && posted !== ON_A_DAY
  return isDay ? { posted: ON_A_DAY, postedOn: posted } : { posted, postedOn }
}

/** What contradicts itself: a day that was written though another choice was made, or a choice without its day. */
export function postedProblems({ posted = '', postedOn = '' }: FormValues): FieldProblem[] {
  if (posted === ON_A_DAY && postedOn === '')
    return [{ field: 'postedOn', detail: 'Name the day on which it was posted.' }]
  if (posted !== ON_A_DAY && postedOn !== '')
    return [{ field: 'posted', detail: 'Choose “on this day”, or leave the day empty.' }]
  return []
}
