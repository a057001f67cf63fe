import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { PRESETS, STANDARDS_TO_FILL_IN } from '@/lib/hold/presets'
import type { Translate } from '@/lib/messages/translate'
import { type RegisterList, readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { loadFormState } from '../../draft'
import { KitFields } from '../../EntryFields'
import { EntryForm } from '../../EntryForm'
import { EntryPreview, getPreviewYear } from '../../EntryPreview'
import styles from '../../Form.module.css'
import { FormProblems, type FormState, TextField } from '../../fields'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import type { FormValues } from '../../forms/formValues'
import { toProtocolValues } from '../../forms/protocolForm'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const t = await getTranslate()
  const { list } = await params
  return { title: isRegisterList(list) ? getHeading(t, list) : 'Add to the set-up' }
}

export default async function AddPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const person = await requireUser('page /setup/add/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const asked = await searchParams
  const form = await loadFormState(person, asked, list === 'protocols' ? getPresetValues(asked.preset) : {})
  const register = await readRegisterDocument(getAppPool())
  const now = Date.now()
  return (
    <>
      <SetupBreadcrumbs list={list} />
      <h1>{getHeading(t, list)}</h1>
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

function getHeading(t: Translate, list: RegisterList): string {
  return list === 'kits' ? 'Issue kits' : `Add ${ENTRY_FORMS[list].singular}`
}

/** The form of a protocol filled in with a published one; empty where the address names none. */
function getPresetValues(code: string | string[] | undefined): FormValues {
  const preset = PRESETS.find((one) => one.code === code)
  return preset ? toProtocolValues(preset) : {}
}

/** Published limits to begin with, and standards whose limits are to be filled in from one's own copy. */
function Presets() {
  const t = useTranslate()
  return (
    <div className="prose">
      <p>Limits that are published and can be taken over:</p>
      <ul>
        {PRESETS.map(({ code, name, note, limits }) => (
          <li key={code}>
            <a href={`/setup/add/protocols?preset=${encodeURIComponent(code)}`}>
              {name} ({code})
            </a>
            . {limits.map(({ citation }) => citation).join('; ')}. {t(note)}
          </li>
        ))}
      </ul>
      <p>These standards set such times too; fill them in from your own copy:</p>
      <ul>
        {STANDARDS_TO_FILL_IN.map(({ code, name, where }) => (
          <li key={code}>
            {name}: {t(where)}
          </li>
        ))}
      </ul>
    </div>
  )
}

/** What holds of kits before anyone has said so: nobody has posted one that is not issued yet. */
const DEFAULT_KIT_VALUES = { count: '1', posted: 'not yet' }

/** Issues many kits of one kind at once. */
function IssueKitsForm({ form: sent, register }: { form: FormState; register: RegisterDocument }) {
  const form = { ...sent, values: { ...DEFAULT_KIT_VALUES, ...sent.values } }
  return (
    <form method="post" action="/api/setup/kits" className={styles.form}>
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <KitFields form={form} register={register} />
      <TextField form={form} name="replaces" label="Replaces" hint="A kit code, for a re-collection." />
      <TextField
        form={form}
        name="count"
        label="How many"
        isRequired
        hint="Each gets a code of its own that nobody can guess."
      />
      <div className={styles.acts}>
        <button type="submit">Issue</button>
      </div>
    </form>
  )
}
