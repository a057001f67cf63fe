import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { SessionList } from '@/app/me/SessionList'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { listPeople } from '@/lib/access/people/managePeople'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { readMailbox } from '@/lib/store/people/digestPreference'
import { listSessions } from '@/lib/store/people/sessions'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import type { SearchParams } from '../../searchParams'
import { PersonForm } from '../PersonForm'
import { loadRefusedMailbox, loadRefusedPerson } from '../refusedForms'
import { MailboxForm } from './MailboxForm'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.people.person') }
}

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<SearchParams>
}

export default async function PersonPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const user = await requireUser('page /setup/people/[id]')
  const { id } = await params
  const person = (await listPeople()).find((one) => one.id === id) ?? notFound()
  const query = await searchParams
  const refused = await loadRefusedPerson(user, query, id)
  const { email, name, zone } = person
  const now = Date.now()
  return (
    <>
      <SetupBreadcrumbs>
        {' / '}
        <Link href="/setup/people">{t('setup.people.title')}</Link>
      </SetupBreadcrumbs>
      <h1>{name}</h1>
      <PersonForm
        id={id}
        form={refused?.form ?? { values: { email, name, zone }, problems: [] }}
        roles={refused?.roles ?? person.roles}
        hasLeft={refused?.hasLeft ?? person.leftAt !== null}
        draft={refused?.draft}
        register={await readRegisterDocument(getAppPool())}
        now={now}
      />
      <MailboxForm
        person={person}
        mailbox={await readMailbox(getAuthPool(), id)}
        refused={await loadRefusedMailbox(user, query, id)}
        isSaved={query.mailbox === 'kept'}
      />
      <SessionList
        sessions={await listSessions(getAuthPool(), id, now)}
        here={null}
        zone={zone}
        now={now}
        owner={{ id, name }}
      />
    </>
  )
}
