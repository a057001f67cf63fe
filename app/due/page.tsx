import type { Metadata } from 'next'
import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getSession } from '@/lib/access/session/currentUser'
import { consumeNewFeed, readFeeds } from '@/lib/digest/calendar/plantFeeds'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import { getDueWork, hasDuties } from '@/lib/store/read/due/dueWork'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../ui/AutoRefresh'
import { QueryProvider } from '../ui/QueryProvider'
import { DueCalendars } from './DueCalendars'
import { DueReport } from './DueReport'
import { readDueFilter, readSetAsideInput } from './dueFilter'
import { buildDueView } from './dueView'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('due.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function DuePage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  const person = await requireUser('page /due')
  const params = await searchParams
  const getParam = (name: string) => [params[name]].flat()[0]
  const work = await getDueWork(getAppPool(), getScope(person), Date.now())
  const zone = (await getSession())?.zone ?? 'UTC'
  const calendars = mayAccess('POST /api/due/feeds', person) ? await readFeeds(person) : null
  const made = getParam('made')
  const notMade = made === 'none' || made === 'enough' ? made : null
  const ticket = notMade === null ? made : undefined
  return (
    <>
      <DueReport
        view={buildDueView(t, work, person, readDueFilter(getParam), getParam('all') === 'yes')}
        zone={zone}
        input={readSetAsideInput(getParam, work)}
        isGone={getParam('gone') === 'yes'}
        empty={
          <EmptyDue
            hasDuties={await hasDuties(getAppPool(), getScope(person))}
            isAdministrator={person.roles.isAdministrator}
          />
        }
      >
        {calendars && (
          <DueCalendars
            {...calendars}
            made={ticket === undefined ? undefined : consumeNewFeed(person, ticket)}
            notMade={notMade}
            revoked={getParam('revoked')}
            zone={zone}
            now={work.asOf}
          />
        )}
      </DueReport>
      {/* A refresh would lose the new address, which is shown only once. */}
      {ticket === undefined && (
        <QueryProvider>
          <AutoRefresh asOf={work.asOf} />
        </QueryProvider>
      )}
    </>
  )
}

/** Why nothing is due: no duty is entered yet, or everything is done. */
function EmptyDue({ hasDuties, isAdministrator }: { hasDuties: boolean; isAdministrator: boolean }) {
  const t = useTranslate()
  if (hasDuties) return <p className="prose">{t('due.empty.allDone')}</p>
  if (!isAdministrator) return <p className="prose">{t('due.empty.noTest')}</p>
  const link = (text: ReactNode) => <Link href="/setup/add/duties">{text}</Link>
  return <p className="prose">{rich(t, 'due.empty.noDuty', { link })}</p>
}
