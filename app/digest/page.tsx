import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { weeklySite } from '@/lib/digest/delivery/mail'
import { nextMail, readers, sentMail } from '@/lib/digest/delivery/shownMails'
import { seesAll } from '@/lib/policy/personRoles'
import { badAddresses, digestFates } from '@/lib/store/mail/digestFates'
import { digestTime } from '@/lib/store/mail/digestTime'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { DigestReport } from './DigestReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Weekly mail' }

const MOST = 200

interface Asked {
  /** Whose mails. */
  of?: string
  /** The occasion of one of theirs. */
  mail?: string
  /** That it was to be sent again, and the asker did not say that it had not arrived. */
  unsure?: string
  /** "weekly" leaves out what was told at once. */
  only?: string
}

export default async function DigestPage({ searchParams }: { searchParams: Promise<Asked> }) {
  const person = await pageVisitor('page /digest')
  const { of, mail, unsure, only } = await searchParams
  const isAdministrator = person.roles.isAdministrator
  const shown = isAdministrator && of ? String(of) : person.id
  const now = Date.now()
  const sent = mail ? await sentMail(shown, String(mail), seesAll(person.roles), now) : null
  const [next, past, bad, all, time] = await Promise.all([
    sent ? null : nextMail(shown, weeklySite(), now),
    digestFates(sharedDoor(), isAdministrator && !of ? null : shown, {
      isWeekly: only === 'weekly',
      most: MOST,
    }),
    isAdministrator ? badAddresses(sharedDoor()) : [],
    isAdministrator ? readers() : [],
    digestTime(sharedDoor()),
  ])
  return (
    <DigestReport
      next={next}
      sent={sent}
      again={isAdministrator ? { isUnsure: unsure !== undefined } : null}
      past={past}
      isWeekly={only === 'weekly'}
      bad={bad}
      readers={all}
      shown={shown}
      pastOf={isAdministrator && of ? shown : null}
      time={isAdministrator ? time : null}
      now={now}
    />
  )
}
