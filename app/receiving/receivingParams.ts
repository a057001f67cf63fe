import type { EventFormValues } from '@/lib/intake/hand/eventForm'
import { type FormFields, readReceiptForm, toReceiptFields } from '@/lib/intake/hand/receiptForm'

/** Fields of the form that stand in the address besides those of its boxes, and only if they are filled in. */
const SHARED = ['laboratory', 'date', 'time', 'note'] as const

/**
 * What was typed on the receiving page, as the page reads it from its address. `press`: the button that was pressed, other than the
 * one that records; null: that one, and it was refused.
 */
export function toReceivingParams(
  fields: FormFields,
  form: EventFormValues,
  press: string | null,
): URLSearchParams {
  const shared = SHARED.map((name) => [name, fields.get(name).trim()])
  const answers = Object.entries(form).filter(([name]) => name.startsWith('condition.'))
  const params = new URLSearchParams(
    [...shared, ...answers].filter(([, value]) => value !== '') as string[][],
  )
  for (const [name, value] of toReceiptFields(readReceiptForm(fields))) params.append(name, value)
  for (const name of fields.getAll('open')) params.append('open', name)
  if (press === null) params.set('typed', 'yes')
  else {
    params.set('press', press)
    if (press === 'scan') params.set('scan', fields.get('scan'))
  }
  return params
}

/** The fields of a form that an address carries. */
export function readFields(params: Record<string, string | string[] | undefined>): FormFields {
  const getAll = (name: string) => [params[name]].flat().flatMap((text) => text ?? [])
  return { get: (name) => getAll(name)[0] ?? '', getAll, names: () => Object.keys(params) }
}
