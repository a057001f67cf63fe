import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { weeklySite } from '@/lib/access/weeklySite'
import { fates, nextMail, readers, timeOfWeek } from '@/lib/digest/own'
import { DigestReport } from '../ui/DigestReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Weekly mail' }

const MOST = 200

export default async function DigestPage({ searchParams }: { searchParams: Promise<{ of?: string }> }) {
  const person = await pageVisitor('page /digest')
  const { of } = await searchParams
  const isAdministrator = person.roles.isAdministrator
  const shown = isAdministrator && of ? String(of) : person.id
  const now = Date.now()
  const [next, past, all, time] = await Promise.all([
    nextMail(shown, weeklySite(), now),
    fates(isAdministrator && !of ? null : shown, MOST),
    isAdministrator ? readers() : [],
    timeOfWeek(),
  ])
  return (
    <DigestReport
      next={next}
      past={past}
      readers={all}
      shown={shown}
      time={isAdministrator ? time : null}
      now={now}
    />
  )
}
