import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { tryPeople } from '@/lib/access/people/enterPeople'
import { actorOf } from '@/lib/access/session/actor'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { draftOf } from '@/lib/store/register/setupDraft'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../../ui/Link'
import { ConfirmForm, MovedNote } from '../../../ConfirmForm'
import { readPeopleDraft } from '../../../draft'
import { readPeopleCsv } from '../../../forms/peopleCsv'
import type { Asked } from '../../../personState'
import { SetupPath } from '../../../SetupPath'
import { PeopleEffect } from './PeopleEffect'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'What would change' }

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<Asked>
}

export default async function PeopleChangesPage({ params, searchParams }: Props) {
  const asker = await pageVisitor('page /setup/people/changes/[id]')
  const { id } = await params
  const draft = readPeopleDraft(await draftOf(sharedPool(), actorOf(asker, null), id))
  const path = (
    <SetupPath>
      {' / '}
      <Link href="/setup/people">People</Link>
    </SetupPath>
  )
  if (!draft || draft.problems.length > 0)
    return (
      <>
        {path}
        <h1>This list is not waiting any more.</h1>
        <p>It was entered, given up, or left for more than a day. Nothing else happened.</p>
      </>
    )
  const plan = await tryPeople(sharedDoor(), readPeopleCsv(draft.peopleCsv, await registerNow(sharedPool())))
  const { moved } = await searchParams
  return (
    <>
      {path}
      <h1>What would change</h1>
      <MovedNote moved={moved} />
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
