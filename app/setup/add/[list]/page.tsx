import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { PRESETS, STANDARDS_TO_FILL_IN } from '@/lib/hold/presets'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { loadFormState } from '../../draft'
import { EntryForm } from '../../EntryForm'
import { EntryPreview, getPreviewYear } from '../../EntryPreview'
import styles from '../../Form.module.css'
import { FormProblems, type FormState, TextField } from '../../fields'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import type { FormValues } from '../../forms/formValues'
import { toProtocolValues } from '../../forms/protocolForm'
import { KitFields } from '../../KitFields'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import type { SearchParams } from '../../searchParams'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<SearchParams>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const t = await getTranslate()
  const { list } = await params
  return { title: isRegisterList(list) ? t(ENTRY_FORMS[list].addTitle) : t('setup.title') }
}

export default async function AddPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const person = await requireUser('page /setup/add/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const query = await searchParams
  const form = await loadFormState(person, query, list === 'protocols' ? getPresetValues(query.preset) : {})
  const register = await readRegisterDocument(getAppPool())
  const now = Date.now()
  return (
    <>
      <SetupBreadcrumbs list={list} />
      <h1>{t(ENTRY_FORMS[list].addTitle)}</h1>
      {list === 'protocols' && <Presets />}
      {list === 'kits' ? (
        <IssueKitsForm form={form} register={register} />
      ) : (
        <EntryForm list={list} form={form} register={register} isNew now={now}>
          <EntryPreview list={list} form={form} register={register} path={`/setup/add/${list}`} now={now} />
        </EntryForm>
      )}
      {list === 'laboratories' && (
        <YearPreview values={form.values} year={getPreviewYear(form.values, now)} />
      )}
    </>
  )
}

/** The form's values for the published protocol `code`; empty if there is none. */
function getPresetValues(code: string | string[] | undefined): FormValues {
  const preset = PRESETS.find((one) => one.code === code)
  return preset ? toProtocolValues(preset) : {}
}

/** Published limits to start from, and standards whose limits users enter from their own copy. */
function Presets() {
  const t = useTranslate()
  return (
    <div className="prose">
      <p>{t('setup.presets.published')}</p>
      <ul>
        {PRESETS.map(({ code, name, note, limits }) => (
          <li key={code}>
            {rich(t, 'setup.presets.preset', {
              name,
              code,
              citations: t.list(limits.flatMap(({ citation }) => citation ?? [])),
              note: t(note),
              link: (text) => <a href={`/setup/add/protocols?preset=${encodeURIComponent(code)}`}>{text}</a>,
            })}
          </li>
        ))}
      </ul>
      <p>{t('setup.presets.standards')}</p>
      <ul>
        {STANDARDS_TO_FILL_IN.map(({ code, name, where }) => (
          <li key={code}>{`${name}: ${t(where)}`}</li>
        ))}
      </ul>
    </div>
  )
}

/** A kit that is not issued yet is not posted either. */
const DEFAULT_KIT_VALUES = { count: '1', posted: 'not yet' }

function IssueKitsForm({ form: sent, register }: { form: FormState; register: RegisterDocument }) {
  const t = useTranslate()
  const form = { ...sent, values: { ...DEFAULT_KIT_VALUES, ...sent.values } }
  return (
    <form method="post" action="/api/setup/kits" className={styles.form}>
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <KitFields form={form} register={register} />
      <TextField
        form={form}
        name="replaces"
        label={t('setup.field.replaces')}
        hint={t('setup.field.replacesHint')}
      />
      <TextField
        form={form}
        name="count"
        label={t('setup.field.count')}
        isRequired
        hint={t('setup.field.countHint')}
      />
      <div className={styles.acts}>
        <button type="submit">{t('setup.kits.add')}</button>
      </div>
    </form>
  )
}
