import { toCanonical } from '@/lib/custody/kitCode'
import {
  type KitContent,
  type PickupContent,
  type PlantContent,
  type ProductContent,
  pickupCode,
  type ServiceContent,
  WEEKDAYS,
} from '@/lib/custody/registerDocument'
import { message } from '@/lib/messages/message'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { readWorkdays } from '../weekdays'
import { emptyToUndefined, type FieldProblem, type FormValues } from './formValues'

export function toPlantValues({ code, name, maker, zone, workdays = [] }: PlantContent): FormValues {
  return { code, name, maker: maker ?? '', zone, workdays: workdays.join(' ') }
}

export function parsePlant(values: FormValues): EntryContent {
  const { code, name, zone } = values
  return { code, name, maker: emptyToUndefined(values.maker), zone, workdays: readWorkdays(values) }
}

export function toServiceValues({ code, name }: ServiceContent): FormValues {
  return { code, name }
}

export function parseService({ code, name }: FormValues): EntryContent {
  return { code, name }
}

export function toProductValues({ code, name, plant, protocol }: ProductContent): FormValues {
  return { code, name, plant, protocol }
}

export function parseProduct({ code, name, plant, protocol }: FormValues): EntryContent {
  return { code, name, plant, protocol }
}

export function toPickupValues({ plant, service, hours }: PickupContent): FormValues {
  return { plant, service, ...Object.fromEntries(WEEKDAYS.map((day) => [day, hours[day] ?? ''])) }
}

export function parsePickup(values: FormValues): EntryContent {
  const { plant = '', service = '' } = values
  const hours = WEEKDAYS.flatMap((day) => (values[day] ? [[day, normalizeHour(values[day])]] : []))
  return { code: pickupCode(plant, service), plant, service, hours: Object.fromEntries(hours) }
}

/** "9:30" becomes "09:30". */
function normalizeHour(text: string): string {
  return text.replace(/^(\d):/, '0$1:')
}

export function toKitValues(kit: KitContent): FormValues {
  const { code, plant, laboratory, issuedAt } = kit
  const { product = '', service = '', purpose = 'first', posted = '', replaces = '' } = kit
  return { code, plant, product, laboratory, service, purpose, posted, replaces, issuedAt }
}

export function parseKit(values: FormValues): EntryContent {
  const { code, plant, laboratory, issuedAt } = values
  return {
    code,
    plant,
    product: emptyToUndefined(values.product),
    laboratory,
    service: emptyToUndefined(values.service),
    purpose: emptyToUndefined(values.purpose),
    posted: parsePosted(values),
    replaces: emptyToUndefined(toCanonical(values.replaces ?? '')),
    issuedAt,
  }
}

/** The choice in the form that goes with a day in `postedOn`; a CSV has the day itself in `posted`. */
export const POSTED_ON_DAY = 'on'

/** When a kit was posted: an ISO date, "not yet", or undefined for when it was issued. */
function parsePosted({ posted, postedOn = '' }: FormValues): string | undefined {
  return posted === POSTED_ON_DAY ? postedOn : emptyToUndefined(posted)
}

/** The choice and the day to show in the form. */
export function toPostedFields({ posted = '', postedOn = '' }: FormValues): FormValues {
  const isDay = posted !== '' && posted !== 'not yet' && posted !== POSTED_ON_DAY
  return isDay ? { posted: POSTED_ON_DAY, postedOn: posted } : { posted, postedOn }
}

/** Finds a day without its choice, and the choice without a day. */
export function findPostedProblems({ posted = '', postedOn = '' }: FormValues): FieldProblem[] {
  if (posted === POSTED_ON_DAY && postedOn === '')
    return [{ field: 'postedOn', detail: message('setup.fault.postedDay') }]
  if (posted !== POSTED_ON_DAY && postedOn !== '')
    return [{ field: 'posted', detail: message('setup.fault.postedOtherwise') }]
  return []
}
