import { dayWords } from '@/app/ui/words/instantWords'
import { listed } from '@/app/ui/words/numberWords'
import { duty } from '@/lib/custody/owedContents'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { dayText } from '@/lib/hold/zone'
import { actorName, actWords } from '@/lib/judgement/dueWords'
import { dueLines } from '@/lib/schedule/owed'
import { placeName } from '@/lib/schedule/placeName'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { dutyDates } from '@/lib/store/read/due/dueWork'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { dueSentences } from './dueSentences'
import styles from './Form.module.css'
import { choicesOf, type FormState, SelectField, TextField } from './fields'
import type { FormValues } from './forms/formValues'
import { dutyContent } from './forms/owedForms'
import { LiveDue } from './LiveDue'

/** Within a form: what the entry would mean, before it is entered. `path` is the form's own page; `now` in ms UTC. */
export function LookAhead({
  list,
  form,
  register,
  path,
  now,
}: {
  list: RegisterList
  form: FormState
  register: RegisterDocument
  path: string
  now: number
}) {
  if (list === 'protocols') return <TryLimits form={form} register={register} path={path} now={now} />
  if (list === 'duties') return <DutyDates values={form.values} register={register} path={path} now={now} />
  if (list !== 'laboratories') return null
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>Look at a year of it; nothing is entered by it</legend>
      <div className={styles.days}>
        <TextField
          form={{ ...form, values: { year: String(new Date(now).getUTCFullYear()), ...form.values } }}
          name="year"
          label="Year"
        />
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            Show the year
          </button>
        </div>
      </div>
    </fieldset>
  )
}

/** The year that a form asks for, or the present one. `now` in ms UTC. */
export function yearAsked(values: FormState['values'], now: number): number {
  return /^\d{4}$/.test(values.year ?? '') ? Number(values.year) : new Date(now).getUTCFullYear()
}

/** Tries the limits of the form around it on a sample: where it is cut and tested, and when it starts. */
function TryLimits({
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
      <div className={styles.group}>
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

/** Within a duty's form: the dates that it would give, before it is entered. `path` is the form's own page; `now` in ms UTC. */
function DutyDates({
  values,
  register,
  path,
  now,
}: {
  values: FormValues
  register: RegisterDocument
  path: string
  now: number
}) {
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>
        Look at the dates that it gives, by how long the lane has taken; nothing is entered by it
      </legend>
      <div className={styles.days}>
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            Show its dates
          </button>
        </div>
      </div>
      {values.look === 'yes' && <Dates values={values} register={register} now={now} />}
    </fieldset>
  )
}

async function Dates({
  values,
  register,
  now,
}: {
  values: FormValues
  register: RegisterDocument
  now: number
}) {
  const read = duty.safeParse({ ...dutyContent(values), code: values.code || 'the new one' })
  if (!read.success)
    return (
      <p className={styles.done}>
        Its dates need the laboratory, the first day, the window, and how long each part takes.
      </p>
    )
  const others = register.duties.filter(({ code }) => code !== read.data.code)
  // Kits say nothing of a duty, and there may be thousands.
  const document = { ...register, kits: [], duties: [...others, read.data] }
  const dates = await dutyDates(sharedPool(), document, read.data, now)
  if (!dates)
    return (
      <p className={styles.done}>
        It has none: no product or family is chosen, or it was due only once and before today.
      </p>
    )
  const { test, laterDays } = dates
  const nameOf = (entries: readonly { code: string; name: string }[]) =>
    entries.map(({ code, name }) => [code, name] as const)
  const names = {
    places: new Map([...nameOf(document.plants), ...nameOf(document.laboratories)]),
    products: new Map(nameOf(document.products)),
  }
  const isWhole = test.acts.some(({ act }) => act === 'post kit')
  return (
    <div className={styles.done}>
      {!isWhole && (
        <p>How long this lane takes is not known yet, so what comes before the receipt has no day.</p>
      )}
      <ul>
        {dueLines([test], Number.NEGATIVE_INFINITY).map(({ acts, actor, dueAt, zone }) => (
          <li key={acts.join()}>
            {actWords(acts, test, names)} by {dayWords(dueAt, zone, now)} in {placeName(zone)}
            {dueAt < now && ', which is past'} ({actorName(actor, names)}).
          </li>
        ))}
      </ul>
      {test.because === 'certificate' && <p>It is due sooner since the certificate expires on that day.</p>}
      {laterDays.length > 0 && <p>The reports after it are due by {listed(laterDays.map(dayText))}.</p>}
    </div>
  )
}
