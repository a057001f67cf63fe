import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { pageVisitor } from '@/lib/access/guard'
import { canonical } from '@/lib/custody/kitCode'
import { registerNow } from '@/lib/store'
import { formStateOf } from '../../formState'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { EntryForm } from '../../parts/EntryForm'
import { LookAhead, yearAsked } from '../../parts/LookAhead'
import { SetupPath } from '../../parts/SetupPath'
import { YearPreview } from '../../parts/YearPreview'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Change the set-up' }

interface Props {
  params: Promise<{ list: string; code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function EntryPage({ params, searchParams }: Props) {
  const person = await pageVisitor('page /setup/[list]/[code]')
  const { list, code } = await params
  if (!isRegisterList(list)) notFound()
  const register = await registerNow()
  const named = decodeURIComponent(code)
  const wanted = list === 'kits' ? canonical(named) : named
  const entry = register[list].find((one) => one.code === wanted) ?? notFound()
  const form = await formStateOf(person, await searchParams, ENTRY_FORMS[list].values(entry))
  const now = Date.now()
  const path = `/setup/${list}/${encodeURIComponent(wanted)}`
  return (
    <>
      <SetupPath list={list} />
      <h1>{headingOf(list, entry)}</h1>
      <EntryForm list={list} form={form} register={register} isNew={false} now={now}>
        <LookAhead list={list} form={form} register={register} path={path} now={now} />
      </EntryForm>
      {list === 'laboratories' && <YearPreview values={form.values} year={yearAsked(form.values, now)} />}
    </>
  )
}

function headingOf(list: string, entry: { code: string; name?: unknown }): string {
  if (list === 'pickups') return `Pickups at ${entry.code}`
  if (list === 'shutdowns') return `Shutdown of ${entry.code}`
  if (list === 'certificates') return `Certificate ${entry.code}`
  if (list === 'duties') return `Duty ${entry.code}`
  return list === 'kits' ? `Kit ${entry.code}` : String(entry.name)
}
