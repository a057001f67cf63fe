import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { mailNotice } from '@/lib/access/mailNotice'
import { administrators, ownSignIn } from '@/lib/access/own'
import { AddPasskey } from '../ui/AddPasskey'
import { MailNotice } from '../ui/MailNotice'
import { NoRole } from '../ui/NoRole'
import { PasskeyList } from '../ui/PasskeyList'
import { SessionList } from '../ui/SessionList'
import { hasNoRole, roleWords } from '../words/roleWords'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'You' }

export default async function MePage() {
  const person = await pageVisitor('page /me')
  const now = Date.now()
  const { sessions, passkeys, sessionId, zone } = await ownSignIn(person, now)
  return (
    <>
      <h1>{person.name}</h1>
      <p>
        {person.email}. {roleWords(person.roles)}
      </p>
      {hasNoRole(person.roles) && <NoRole administrators={await administrators()} />}
      <SessionList sessions={sessions} here={sessionId} zone={zone} now={now} />
      <PasskeyList passkeys={passkeys} zone={zone} now={now} />
      <AddPasskey />
      <MailNotice outbox={await mailNotice()} />
    </>
  )
}
