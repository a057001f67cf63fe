import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatDay } from '@/app/ui/words/instant'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { duty } from '@/lib/custody/testingEntries'
import { formatIsoDate } from '@/lib/hold/zone'
import { describeActs, getActorName } from '@/lib/judgement/dueText'
import { formatZone } from '@/lib/messages/zoneName'
import { listDueLines } from '@/lib/schedule/owedTests'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { getDutyDates } from '@/lib/store/read/due/dueWork'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { describeDueDates } from './describeDueDates'
import styles from './Form.module.css'
import { type FormState, SelectField, TextField, toOptions } from './fields'
import type { FormValues } from './forms/formValues'
import { parseDuty } from './forms/scheduleForms'
import { LiveDueDates } from './LiveDueDates'

/** Shows inside a form what its entry would mean once saved. `path` is the form's own page; `now` in ms UTC. */
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
  const t = useTranslate()
  if (list === 'protocols') return <LimitPreview form={form} register={register} path={path} now={now} />
  if (list === 'duties') return <DutyPreview values={form.values} register={register} path={path} now={now} />
  if (list !== 'laboratories') return null
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{t('setup.yearPreview.legend')}</legend>
      <div className={styles.days}>
        <TextField
          form={{ ...form, values: { year: String(new Date(now).getUTCFullYear()), ...form.values } }}
          name="year"
          label={t('setup.yearPreview.year')}
        />
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            {t('setup.yearPreview.show')}
          </button>
        </div>
      </div>
    </fieldset>
  )
}

/** The year asked for, else that of `now` (ms UTC). */
export function getPreviewYear(values: FormState['values'], now: number): number {
  return /^\d{4}$/.test(values.year ?? '') ? Number(values.year) : new Date(now).getUTCFullYear()
}

/** Applies the limits of the form around it to a sample. */
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
    return <p className={styles.wide}>{t('setup.limitPreview.unavailable')}</p>
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{t('setup.limitPreview.legend')}</legend>
      <div className={styles.group}>
        <SelectField
          form={form}
          name="tryPlant"
          label={t('setup.limitPreview.plant')}
          options={toOptions(plants)}
        />
        <SelectField
          form={form}
          name="tryLaboratory"
          label={t('setup.limitPreview.laboratory')}
          options={toOptions(laboratories)}
        />
        <TextField form={form} name="tryStart" label={t('setup.limitPreview.start')} type="datetime-local" />
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            {t('setup.limitPreview.show')}
          </button>
        </div>
      </div>
      <LiveDueDates initial={describeDueDates(t, form.values, register, now)} />
    </fieldset>
  )
}

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
  const t = useTranslate()
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{t('setup.dutyPreview.legend')}</legend>
      <div className={styles.days}>
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            {t('setup.dutyPreview.show')}
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
  const read = duty.safeParse({ ...parseDuty(values), code: values.code || t('setup.dutyPreview.newDuty') })
  if (!read.success) return <p className={styles.done}>{t('setup.dutyPreview.incomplete')}</p>
  const others = register.duties.filter(({ code }) => code !== read.data.code)
  // Kits do not matter here, and there may be thousands.
  const document = { ...register, kits: [], duties: [...others, read.data] }
  const dates = await getDutyDates(getAppPool(), document, read.data, now)
  if (!dates) return <p className={styles.done}>{t('setup.dutyPreview.none')}</p>
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
      {!isWhole && <p>{t('setup.dutyPreview.noTransit')}</p>}
      <ul>
        {listDueLines([test], Number.NEGATIVE_INFINITY).map(({ acts, actor, dueAt, zone }) => (
          <li key={acts.join()}>
            {t(dueAt < now ? 'setup.dutyPreview.pastStep' : 'setup.dutyPreview.step', {
              act: describeActs(t, acts, test, names),
              day: formatDay(t, dueAt, zone, now),
              place: formatZone(zone),
              actor: getActorName(t, actor, names),
            })}
          </li>
        ))}
      </ul>
      {test.reason === 'certificate' && <p>{t('setup.dutyPreview.certificate')}</p>}
      {laterDays.length > 0 && (
        <p>{t('setup.dutyPreview.later', { days: t.list(laterDays.map(formatIsoDate)) })}</p>
      )}
    </div>
  )
}
