import { ASKED_FIELDS } from '@/lib/custody/eventKinds'

/** The fields of the form in which a person records an event; all are texts, empty where nothing is said. */
export const HAND_FIELDS = ['kind', 'date', 'time', ...ASKED_FIELDS, 'corrects'] as const

export type HandField = (typeof HAND_FIELDS)[number]
export type HandForm = Record<HandField, string>

/** A form from what `get` has under each field's name. */
export function handFormOf(get: (field: HandField) => string | null | undefined): HandForm {
  return Object.fromEntries(HAND_FIELDS.map((field) => [field, (get(field) ?? '').trim()])) as HandForm
}
