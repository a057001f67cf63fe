import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatDay } from '@/app/ui/words/instant'
import { formatList } from '@/app/ui/words/number'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { duty } from '@/lib/custody/testingEntries'
import { formatIsoDate } from '@/lib/hold/zone'
import { describeActs, getActorName } from '@/lib/judgement/dueText'
import { listDueLines } from '@/lib/schedule/owedTests'
import { formatZone } from '@/lib/schedule/zoneName'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { getDutyDates } from '@/lib/store/read/due/dueWork'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { describeDueDates } from './describeDueDates'
import styles from './Form.module.css'
import { type FormState, SelectField, TextField, toOptions } from './fields'
import type { FormValues } from './forms/formValues'
import { parseDuty } from './forms/scheduleForms'
import { LiveDueDates } from './LiveDueDates'

/** Within a form: what the entry would mean, before it is entered. `path` is the form's own page; `now` in ms UTC. */
export function EntryPreview({
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
  if (list === 'protocols') return <LimitPreview form={form} register={register} path={path} now={now} />
  if (list === 'duties') return <DutyPreview values={form.values} register={register} path={path} now={now} />
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
export function getPreviewYear(values: FormState['values'], now: number): number {
  return /^\d{4}$/.test(values.year ?? '') ? Number(values.year) : new Date(now).getUTCFullYear()
}

/** Tries the limits of the form around it on a sample: where it is cut and tested, and when it starts. */
function LimitPreview({
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
  const t = useTranslate()
  const { plants, laboratories } = register
  if (plants.length === 0 || laboratories.length === 0)
    return (
      <p className={styles.wide}>Once there is a plant and a laboratory, the limits can be tried here.</p>
    )
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>Try the limits on a sample; nothing is entered by it</legend>
      <div className={styles.group}>
        <SelectField form={form} name="tryPlant" label="At the plant" options={toOptions(plants)} />
        <SelectField
          form={form}
          name="tryLaboratory"
          label="For the laboratory"
          options={toOptions(laboratories)}
        />
        <TextField form={form} name="tryStart" label="Beginning, local time there" type="datetime-local" />
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            Count it
          </button>
        </div>
      </div>
      <LiveDueDates initial={describeDueDates(t, form.values, register, now)} />
    </fieldset>
  )
}

/** Within a duty's form: the dates that it would give, before it is entered. `path` is the form's own page; `now` in ms UTC. */
function DutyPreview({
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
      {values.look === 'yes' && <DutyDateList values={values} register={register} now={now} />}
    </fieldset>
  )
}

async function DutyDateList({
  values,
  register,
  now,
}: {
  values: FormValues
  register: RegisterDocument
  now: number
}) {
  const t = await getTranslate()
  const read = duty.safeParse({ ...parseDuty(values), code: values.code || 'the new one' })
  if (!read.success)
    return (
      <p className={styles.done}>
        Its dates need the laboratory, the first day, the window, and how long each part takes.
      </p>
    )
  const others = register.duties.filter(({ code }) => code !== read.data.code)
  // Kits say nothing of a duty, and there may be thousands.
  const document = { ...register, kits: [], duties: [...others, read.data] }
  const dates = await getDutyDates(getAppPool(), document, read.data, now)
  if (!dates)
    return (
      <p className={styles.done}>
        It has none: no product or family is chosen, or it was due only once and before today.
      </p>
    )
  const { test, laterDays } = dates
  const toNameEntries = (entries: readonly { code: string; name: string }[]) =>
    entries.map(({ code, name }) => [code, name] as const)
  const names = {
    places: new Map([...toNameEntries(document.plants), ...toNameEntries(document.laboratories)]),
    products: new Map(toNameEntries(document.products)),
  }
  const isWhole = test.acts.some(({ act }) => act === 'post kit')
  return (
    <div className={styles.done}>
      {!isWhole && (
        <p>How long this lane takes is not known yet, so what comes before the receipt has no day.</p>
      )}
      <ul>
        {listDueLines([test], Number.NEGATIVE_INFINITY).map(({ acts, actor, dueAt, zone }) => (
          <li key={acts.join()}>
            {describeActs(t, acts, test, names)} by {formatDay(t, dueAt, zone, now)} in {formatZone(zone)}
            {dueAt < now && ', which is past'} ({getActorName(t, actor, names)}).
          </li>
        ))}
      </ul>
      {test.reason === 'certificate' && <p>It is due sooner since the certificate expires on that day.</p>}
      {laterDays.length > 0 && (
        <p>The reports after it are due by {formatList(t, laterDays.map(formatIsoDate))}.</p>
      )}
    </div>
  )
}
