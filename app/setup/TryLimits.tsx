import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { dueSentences } from './dueSentences'
import { choicesOf, type FormState, SelectField, TextField } from './Field'
import styles from './Form.module.css'
import { LiveDue } from './LiveDue'

/** Tries the limits of the form around it on a sample: where it is cut and tested, and when it starts. */
export function TryLimits({
  form,
  register,
  path,
  now,
}: {
  form: FormState
  register: RegisterDocument
  path: string
  now: number
}) {
  const { plants, laboratories } = register
  if (plants.length === 0 || laboratories.length === 0)
    return (
      <p className={styles.wide}>Once there is a plant and a laboratory, the limits can be tried here.</p>
    )
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>Try the limits on a sample; nothing is entered by it</legend>
      <div className={styles.days}>
        <SelectField form={form} name="tryPlant" label="At the plant" options={choicesOf(plants)} />
        <SelectField
          form={form}
          name="tryLaboratory"
          label="For the laboratory"
          options={choicesOf(laboratories)}
        />
        <TextField form={form} name="tryStart" label="Beginning, local time there" type="datetime-local" />
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            Count it
          </button>
        </div>
      </div>
      <LiveDue initial={dueSentences(form.values, register, now)} />
    </fieldset>
  )
}
