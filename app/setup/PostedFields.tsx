import { type FormState, SelectField, TextField } from './Field'
import type { FieldProblem } from './forms/formValues'
import { ON_A_DAY, postedShown } from './forms/postedFields'

const CHOICES = [
  ['', 'with its issue'],
  ['not yet', 'not yet'],
  [ON_A_DAY, 'on this day'],
] as const

/** Whether and when a kit went to its plant. */
export function PostedFields({ form }: { form: FormState }) {
  const values = { ...form.values, ...postedShown(form.values) }
  // What the register says of the day is said beside the day.
  const besideIt = (problem: FieldProblem) =>
    problem.field === 'posted' && values.posted === ON_A_DAY ? { ...problem, field: 'postedOn' } : problem
  const shown = { values, problems: form.problems.map(besideIt) }
  return (
    <>
      <SelectField form={shown} name="posted" label="Posted" options={CHOICES} />
      <TextField
        form={shown}
        name="postedOn"
        label="Day it was posted"
        type="date"
        hint="The date at the plant; only with “on this day”."
      />
    </>
  )
}
