import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getMailSite } from '@/lib/digest/delivery/mail'
import { listReaders, previewNextMail, readSentMail } from '@/lib/digest/delivery/shownMails'
import { seesAll } from '@/lib/policy/personRoles'
import { readDigestTime } from '@/lib/store/mail/digestTime'
import { listMails, listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { DigestReport } from './DigestReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Weekly mail' }

const MAX_ROWS = 200

interface SearchParams {
  /** Whose mails. */
  of?: string
  /** The occasion of one of theirs. */
  mail?: string
  /** That it was to be sent again, and the asker did not say that it had not arrived. */
  unsure?: string
  /** "weekly" leaves out what was told at once. */
  only?: string
}

export default async function DigestPage({ searchParams }: { searchParams: Promise<SearchParams> }) {
  const t = await getTranslate()
  const person = await requireUser('page /digest')
  const { of, mail, unsure, only } = await searchParams
  const isAdministrator = person.roles.isAdministrator
  const shown = isAdministrator && of ? String(of) : person.id
  const now = Date.now()
  const sent = mail ? await readSentMail(shown, String(mail), seesAll(person.roles), now) : null
  const [next, past, bad, all, time] = await Promise.all([
    sent ? null : previewNextMail(shown, getMailSite(), now),
    listMails(getAuthPool(), isAdministrator && !of ? null : shown, {
      isWeekly: only === 'weekly',
      most: MAX_ROWS,
    }),
    isAdministrator ? listRejectedAddresses(getAuthPool()) : [],
    isAdministrator ? listReaders() : [],
    readDigestTime(getAuthPool()),
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
