import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { actorOf } from '@/lib/access/session/actor'
import { registerNow } from '@/lib/store/ledger/registerNow'
import { draftOf } from '@/lib/store/register/setupDraft'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { CsvForm } from '../../CsvForm'
import { PEOPLE_COLUMNS } from '../../forms/peopleCsv'
import { readPeopleDraft } from '../../peopleDraft'
import type { Asked } from '../../personState'
import { SetupPath } from '../../SetupPath'
import { PeopleExample } from './PeopleExample'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'People from a CSV' }

export default async function PeopleCsvPage({ searchParams }: { searchParams: Promise<Asked> }) {
  const asker = await pageVisitor('page /setup/csv/people')
  const { draft: id } = await searchParams
  const draft =
    typeof id === 'string' ? readPeopleDraft(await draftOf(sharedPool(), actorOf(asker, null), id)) : null
  const form = {
    values: { text: draft?.peopleCsv ?? `${PEOPLE_COLUMNS.join(',')}\n` },
    problems: draft?.problems ?? [],
  }
  return (
    <>
      <SetupPath>
        {' / '}
        <Link href="/setup/people">People</Link>
      </SetupPath>
      <h1>People from a CSV</h1>
      <PeopleExample register={await registerNow(sharedPool())} />
      <CsvForm action="/api/setup/people/csv" form={form} />
    </>
  )
}
