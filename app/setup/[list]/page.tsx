import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../ui/Link'
import { ENTRY_FORMS, isRegisterList } from '../forms/entryForms'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import type { SearchParams } from '../searchParams'
import { SETUP_ORDER } from '../setupOrder'
import { EntryTable, MAX_KITS_SHOWN } from './EntryTable'
import { SavedNotice } from './SavedNotice'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<SearchParams>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const t = await getTranslate()
  const { list } = await params
  return { title: t(isRegisterList(list) ? ENTRY_FORMS[list].title : 'setup.title') }
}

export default async function ListPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  await requireUser('page /setup/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const register = await readRegisterDocument(getAppPool())
  const { title, addTitle } = ENTRY_FORMS[list]
  const count = register[list].length
  const none = SETUP_ORDER.find((step) => step.list === list)?.none
  return (
    <>
      <SetupBreadcrumbs />
      <h1>{t(title)}</h1>
      <SavedNotice list={list} searchParams={await searchParams} register={register} />
      <p>
        {rich(t, 'setup.list.actions', {
          title: t(addTitle),
          add: (text) => <Link href={`/setup/add/${list}`}>{text}</Link>,
          csv: (text) => <Link href={`/setup/csv/${list}`}>{text}</Link>,
        })}{' '}
        {count > 0 &&
          rich(t, 'setup.list.export', {
            link: (text) => <a href={`/api/setup/csv?list=${list}`}>{text}</a>,
          })}
      </p>
      {count === 0 ? (
        <p className="prose">{none && t(none)}</p>
      ) : (
        <EntryTable list={list} register={register} now={Date.now()} />
      )}
      {list === 'kits' && count > MAX_KITS_SHOWN && (
        <p>{t('setup.list.newestKits', { shown: MAX_KITS_SHOWN, count })}</p>
      )}
    </>
  )
}
