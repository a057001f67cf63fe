import { type FieldProblem, type FormValues, optional } from './formValues'

/** What a form has chosen of a kit's posting where it names the day in `postedOn`; a CSV names the day itself. */
export const ON_A_DAY = 'on'

/** When a kit was posted, as its entry has it: a day, that it was not yet, or undefined: with its issue. */
export function postedIn({ posted, postedOn = '' }: FormValues): string | undefined {
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
