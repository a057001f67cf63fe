import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { CsvForm } from '../../CsvForm'
import { loadFormState } from '../../draft'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import type { SearchParams } from '../../searchParams'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<SearchParams>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const t = await getTranslate()
  const { list } = await params
  return { title: t(isRegisterList(list) ? ENTRY_FORMS[list].csvTitle : 'setup.csv.title') }
}

export default async function CsvPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const person = await requireUser('page /setup/csv/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const { csvTitle, csvNote, columns } = ENTRY_FORMS[list]
  const form = await loadFormState(person, await searchParams, { text: `${columns.join(',')}\n` })
  return (
    <>
      <SetupBreadcrumbs list={list} />
      <h1>{t(csvTitle)}</h1>
      <p className="prose">
        {t('setup.csv.how')} {csvNote && t(csvNote)}
      </p>
      <CsvForm action="/api/setup/csv" form={form}>
        <input type="hidden" name="list" value={list} />
      </CsvForm>
    </>
  )
}
