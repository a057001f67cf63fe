import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { pageVisitor } from '@/lib/access/guard'
import { canonical, displayCode } from '@/lib/custody/kitCode'
import type { KitContent } from '@/lib/custody/registerDocument'
import { registerNow } from '@/lib/store/ledger/registerNow'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { EntryForm } from '../../EntryForm'
import { formStateOf } from '../../formState'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { LookAhead, yearAsked } from '../../LookAhead'
import { PostedToday } from '../../PostedToday'
import { SetupPath } from '../../SetupPath'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string; code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await pageVisitor('page /setup/[list]/[code]')
  const { list, entry } = await entryOf(params)
  return { title: headingOf(list, entry) }
}

export default async function EntryPage({ params, searchParams }: Props) {
  const person = await pageVisitor('page /setup/[list]/[code]')
  const { list, entry, register } = await entryOf(params)
  const form = await formStateOf(person, await searchParams, ENTRY_FORMS[list].values(entry))
  const now = Date.now()
  const path = `/setup/${list}/${encodeURIComponent(entry.code)}`
  return (
    <>
      <SetupPath list={list} />
      <h1>{headingOf(list, entry)}</h1>
      {list === 'kits' && (
        <>
          <p>
            <Link href={`/samples/${entry.code}`}>Its sample, and what was reported of it</Link>
          </p>
          <PostedToday kit={entry as KitContent} register={register} now={now} />
        </>
      )}
      <EntryForm list={list} form={form} register={register} isNew={false} now={now}>
        <LookAhead list={list} form={form} register={register} path={path} now={now} />
      </EntryForm>
      {list === 'laboratories' && <YearPreview values={form.values} year={yearAsked(form.values, now)} />}
    </>
  )
}

/** The entry that an address names, and the register that has it. */
const entryOf = cache(async (params: Props['params']) => {
  const { list, code } = await params
  if (!isRegisterList(list)) notFound()
  const register = await registerNow(sharedPool())
  const named = decodeURIComponent(code)
  const wanted = list === 'kits' ? canonical(named) : named
  const entry = register[list].find((one) => one.code === wanted) ?? notFound()
  return { list, entry, register }
})

function headingOf(list: string, entry: { code: string; name?: unknown }): string {
  if (list === 'pickups') return `Pickups at ${entry.code}`
  if (list === 'shutdowns') return `Shutdown of ${entry.code}`
  if (list === 'certificates') return `Certificate ${entry.code}`
  if (list === 'duties') return `Duty ${entry.code}`
  return list === 'kits' ? `Kit ${displayCode(entry.code)}` : String(entry.name)
}
