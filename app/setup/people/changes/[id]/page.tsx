import type { Metadata } from 'next'
import { requireUser } from '@/lib/access/guard'
import { previewPeopleList } from '@/lib/access/people/managePeople'
import { toActor } from '@/lib/access/session/actor'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../../ui/Link'
import { ConfirmForm, OutdatedNotice } from '../../../ConfirmForm'
import { readPeopleDraft } from '../../../draft'
import { parsePeopleCsv } from '../../../forms/peopleCsv'
import { SetupBreadcrumbs } from '../../../SetupBreadcrumbs'
import type { SearchParams } from '../../refusedForms'
import { PeopleEffect } from './PeopleEffect'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'What would change' }

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<SearchParams>
}

export default async function PeopleChangesPage({ params, searchParams }: Props) {
  const asker = await requireUser('page /setup/people/changes/[id]')
  const { id } = await params
  const draft = readPeopleDraft(await findDraft(getAppPool(), toActor(asker, null), id))
  const path = (
    <SetupBreadcrumbs>
      {' / '}
      <Link href="/setup/people">People</Link>
    </SetupBreadcrumbs>
  )
  if (!draft || draft.problems.length > 0)
    return (
      <>
        {path}
        <h1>This list is not waiting any more.</h1>
        <p>It was entered, given up, or left for more than a day. Nothing else happened.</p>
      </>
    )
  const plan = await previewPeopleList(
    getAuthPool(),
    parsePeopleCsv(draft.peopleCsv, await readRegisterDocument(getAppPool())),
  )
  const { moved } = await searchParams
  return (
    <>
      {path}
      <h1>What would change</h1>
      <OutdatedNotice moved={moved} />
      <PeopleEffect plan={plan} />
      <ConfirmForm
        action="/api/setup/people/changes"
        id={id}
        digest={plan.digest}
        canDo={plan.added.length + plan.changed.length > 0}
      />
    </>
  )
}
