import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { requireUser } from '@/lib/access/guard'
import { CsvForm } from '../../CsvForm'
import { loadFormState } from '../../draft'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { list } = await params
  return { title: isRegisterList(list) ? `${ENTRY_FORMS[list].title} from a CSV` : 'Set-up from a CSV' }
}

const NOTES: Record<string, string> = {
  laboratories: 'Hours as 08:00-16:30; closures and holidays parted by semicolons, written as in the form.',
  protocols: 'A row for each limit; rows of one code make one protocol.',
  pickups: 'A row for each plant and service; hours as 16:30, an empty cell where the service does not call.',
  families: 'Members are codes of products, parted by semicolons.',
  certificates: 'Each is of a product or of a family; the other cell stays empty.',
  plants: 'Workdays as mon tue wed thu; empty: Monday to Friday.',
  duties:
    'Each is of a product or of a family. First is the day on which the first report is due, as 2026-11-26; an empty everyMonths is owed once.',
  shutdowns: 'A row for each plant and first day; an empty last day is the same one.',
  kits: 'A row without a code gets a new one. Without a product it is a spare. Posted is a day, as 2026-11-26, or: not yet; empty: with its issue.',
}

export default async function CsvPage({ params, searchParams }: Props) {
  const person = await requireUser('page /setup/csv/[list]')
  const { list } = await params
  if (!isRegisterList(list)) notFound()
  const { title: many, columns } = ENTRY_FORMS[list]
  const form = await loadFormState(person, await searchParams, { text: `${columns.join(',')}\n` })
  return (
    <>
      <SetupBreadcrumbs list={list} />
      <h1>{many} from a CSV</h1>
      <p className="prose">
        The first line names the columns. A row for what is there already changes what its columns name;
        nothing is taken out. What would change is shown, line by line, before anything is done. {NOTES[list]}
      </p>
      <CsvForm action="/api/setup/csv" form={form}>
        <input type="hidden" name="list" value={list} />
      </CsvForm>
    </>
  )
}
