import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { countOf } from '@/app/ui/words/numberWords'
import { pageVisitor } from '@/lib/access/guard'
import { capitalised } from '@/lib/schedule/firstLetter'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../ui/Link'
import { ENTRY_FORMS, isRegisterList } from '../forms/entryForms'
import { SetupPath } from '../SetupPath'
import { SETUP_ORDER } from '../setupOrder'
import { Entered } from './Entered'
import { EntryTable, MOST_KITS_SHOWN } from './EntryTable'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { list } = await params
  return { title: isRegisterList(list) ? ENTRY_FORMS[list].many : 'Set-up' }
}

export default async function ListPage({ params, searchParams }: Props) {
  await pageVisitor('page /setup/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const register = await registerNow(sharedPool())
  const { one, many } = ENTRY_FORMS[list]
  const count = register[list].length
  const step = SETUP_ORDER.find((one) => one.list === list)
  return (
    <>
      <SetupPath />
      <h1>{many}</h1>
      <Entered list={list} asked={await searchParams} register={register} />
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
          {step?.missing} {step?.because}
        </p>
      ) : (
        <EntryTable list={list} register={register} now={Date.now()} />
      )}
      {list === 'kits' && count > MOST_KITS_SHOWN && (
        <p>
          These are the newest {MOST_KITS_SHOWN}. {capitalised(countOf(count, 'kit'))} in all; the CSV has
          every one.
        </p>
      )}
    </>
  )
}
