import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { SessionList } from '@/app/me/SessionList'
import { pageVisitor } from '@/lib/access/guard'
import { people } from '@/lib/access/people/enterPeople'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { mailboxOf } from '@/lib/store/people/digestPreference'
import { ownSessions } from '@/lib/store/people/sessions'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { type Asked, refusedMailbox, refusedPerson } from '../../personState'
import { SetupPath } from '../../SetupPath'
import { PersonForm } from '../PersonForm'
import { MailboxForm } from './MailboxForm'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'A person' }

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<Asked>
}

export default async function PersonPage({ params, searchParams }: Props) {
  const asker = await pageVisitor('page /setup/people/[id]')
  const { id } = await params
  const person = (await people()).find((one) => one.id === id) ?? notFound()
  const asked = await searchParams
  const refused = await refusedPerson(asker, asked, id)
  const { email, name, zone } = person
  const now = Date.now()
  return (
    <>
      <SetupPath>
        {' / '}
        <Link href="/setup/people">People</Link>
      </SetupPath>
      <h1>{name}</h1>
      <PersonForm
        id={id}
        form={refused?.form ?? { values: { email, name, zone }, problems: [] }}
        roles={refused?.roles ?? person.roles}
        hasLeft={refused?.hasLeft ?? person.leftAt !== null}
        draft={refused?.draft}
        register={await registerNow(sharedPool())}
        now={now}
      />
      <MailboxForm
        person={person}
        mailbox={await mailboxOf(sharedDoor(), id)}
        refused={await refusedMailbox(asker, asked, id)}
        isKept={asked.mailbox === 'kept'}
      />
      <SessionList
        sessions={await ownSessions(sharedDoor(), id, now)}
        here={null}
        zone={zone}
        now={now}
        of={{ id, name }}
      />
    </>
  )
}
