import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
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
import type { SearchParams } from '../../../searchParams'
import { PeopleEffect } from './PeopleEffect'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.changes.title') }
}

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<SearchParams>
}

export default async function PeopleChangesPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const user = await requireUser('page /setup/people/changes/[id]')
  const { id } = await params
  const draft = readPeopleDraft(await findDraft(getAppPool(), toActor(user, null), id))
  const path = (
    <SetupBreadcrumbs>
      {' / '}
      <Link href="/setup/people">{t('setup.people.title')}</Link>
    </SetupBreadcrumbs>
  )
  if (!draft || draft.problems.length > 0)
    return (
      <>
        {path}
        <h1>{t('setup.changes.goneList')}</h1>
        <p>{t('setup.changes.goneReason')}</p>
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
      <h1>{t('setup.changes.title')}</h1>
      <OutdatedNotice moved={moved} />
      <PeopleEffect plan={plan} />
      <ConfirmForm
        action="/api/setup/people/changes"
        id={id}
        digest={plan.digest}
        canApply={plan.added.length + plan.changed.length > 0}
      />
    </>
  )
}
