import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { spellCount } from '@/app/ui/words/number'
import { requireUser } from '@/lib/access/guard'
import { capitalised } from '@/lib/schedule/firstLetter'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../ui/Link'
import { ENTRY_FORMS, isRegisterList } from '../forms/entryForms'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import { SETUP_ORDER } from '../setupOrder'
import { EntryTable, MAX_KITS_SHOWN } from './EntryTable'
import { SavedNotice } from './SavedNotice'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { list } = await params
  return { title: isRegisterList(list) ? ENTRY_FORMS[list].title : 'Set-up' }
}

export default async function ListPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  await requireUser('page /setup/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const register = await readRegisterDocument(getAppPool())
  const { singular: one, title: many } = ENTRY_FORMS[list]
  const count = register[list].length
  const step = SETUP_ORDER.find((one) => one.list === list)
  return (
    <>
      <SetupBreadcrumbs />
      <h1>{many}</h1>
      <SavedNotice list={list} asked={await searchParams} register={register} />
      <p>
        <Link href={`/setup/add/${list}`}>{list === 'kits' ? 'Issue kits' : `Add ${one}`}</Link>
        {', or '}
        <Link href={`/setup/csv/${list}`}>many at once from a CSV</Link>
        {count > 0 && (
          <>
            {'. '}
            <a href={`/api/setup/csv?list=${list}`}>Take them out as CSV</a>
          </>
        )}
        .
      </p>
      {count === 0 ? (
        <p className="prose">
          {step?.emptyText} {step?.reason}
        </p>
      ) : (
        <EntryTable list={list} register={register} now={Date.now()} />
      )}
      {list === 'kits' && count > MAX_KITS_SHOWN && (
        <p>
          These are the newest {MAX_KITS_SHOWN}. {capitalised(spellCount(t, count, 'kit'))} in all; the CSV
          has every one.
        </p>
      )}
    </>
  )
}
