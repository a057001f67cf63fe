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
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('mailPage.title') }
}

const MAX_ROWS = 200

interface SearchParams {
  /** Id of the person whose mails are shown. */
  of?: string
  /** The occasion of one of their past mails. */
  mail?: string
  /** Set after a try to send it again without the tick that it did not arrive. */
  unsure?: string
  /** "weekly" leaves out alerts. */
  only?: string
}

export default async function DigestPage({ searchParams }: { searchParams: Promise<SearchParams> }) {
  const person = await requireUser('page /digest')
  const { of, mail, unsure, only } = await searchParams
  const isAdministrator = person.roles.isAdministrator
  const shown = isAdministrator && of ? String(of) : person.id
  const now = Date.now()
  const sent = mail ? await readSentMail(shown, String(mail), seesAll(person.roles), now) : null
  const [next, past, rejected, readers, time] = await Promise.all([
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
      resend={isAdministrator ? { isUnsure: unsure !== undefined } : null}
      past={past}
      isWeekly={only === 'weekly'}
      rejected={rejected}
      readers={readers}
      shown={shown}
      pastPersonId={isAdministrator && of ? shown : null}
      time={isAdministrator ? time : null}
      now={now}
    />
  )
}
