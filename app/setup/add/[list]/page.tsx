import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { pageVisitor } from '@/lib/access/guard'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { registerNow } from '@/lib/store/ledger/registerNow'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { EntryForm } from '../../EntryForm'
import { formStateOf } from '../../formState'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { IssueKits } from '../../IssueKits'
import { LookAhead, yearAsked } from '../../LookAhead'
import { Presets } from '../../Presets'
import { presetValues } from '../../presetValues'
import { SetupPath } from '../../SetupPath'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { list } = await params
  return { title: isRegisterList(list) ? headingOf(list) : 'Add to the set-up' }
}

export default async function AddPage({ params, searchParams }: Props) {
  const person = await pageVisitor('page /setup/add/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const asked = await searchParams
  const form = await formStateOf(person, asked, list === 'protocols' ? presetValues(asked.preset) : {})
  const register = await registerNow(sharedPool())
  const now = Date.now()
  return (
    <>
      <SetupPath list={list} />
      <h1>{headingOf(list)}</h1>
      {list === 'protocols' && <Presets />}
      {list === 'kits' ? (
        <IssueKits form={form} register={register} />
      ) : (
        <EntryForm list={list} form={form} register={register} isNew now={now}>
          <LookAhead list={list} form={form} register={register} path={`/setup/add/${list}`} now={now} />
        </EntryForm>
      )}
      {list === 'laboratories' && <YearPreview values={form.values} year={yearAsked(form.values, now)} />}
    </>
  )
}

function headingOf(list: RegisterList): string {
  return list === 'kits' ? 'Issue kits' : `Add ${ENTRY_FORMS[list].one}`
}
