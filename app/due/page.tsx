import type { Metadata } from 'next'
import { Link } from '@/app/ui/Link'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getSession } from '@/lib/access/session/currentUser'
import { consumeNewFeed, readFeeds } from '@/lib/digest/calendar/plantFeeds'
import { sortByUrgency } from '@/lib/digest/weekly/sortByUrgency'
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
export const metadata: Metadata = { title: 'What is due' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function DuePage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  const person = await requireUser('page /due')
  const params = await searchParams
  const named = (name: string) => [params[name]].flat()[0]
  const work = await getDueWork(getAppPool(), getScope(person), Date.now())
  const first = await sortByUrgency(getAppPool(), getScope(person), work)
  const zone = (await getSession())?.zone ?? 'UTC'
  const calendars = mayAccess('POST /api/due/feeds', person) ? await readFeeds(person) : null
  const asked = named('made')
  const ticket = asked === 'none' || asked === 'enough' ? undefined : asked
  return (
    <>
      <DueReport
        view={buildDueView(t, work, first, person, readDueFilter(named), named('all') === 'yes')}
        zone={zone}
        leaving={readSetAsideInput(named, work)}
        isGone={named('gone') === 'yes'}
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
            notMade={asked === 'none' || asked === 'enough' ? asked : null}
            revoked={named('revoked')}
            zone={zone}
            now={work.asOf}
          />
        )}
      </DueReport>
      {/* Painted again, the page would have the address no more. */}
      {ticket === undefined && (
        <QueryProvider>
          <AutoRefresh asOf={work.asOf} />
        </QueryProvider>
      )}
    </>
  )
}

/** Why nothing is due: no duty was entered yet, or all that is asked for is done. */
function EmptyDue({ hasDuties, isAdministrator }: { hasDuties: boolean; isAdministrator: boolean }) {
  if (hasDuties)
    return (
      <p className="prose">
        All is done: nothing is overdue, and the first act of no test is due within three months.
      </p>
    )
  return isAdministrator ? (
    <p className="prose">
      No duty is entered yet. A duty says when a product, or one product of a family, is to be tested and how
      often; from that follows by when each act is due. <Link href="/setup/add/duties">Enter the first</Link>.
    </p>
  ) : (
    <p className="prose">
      No test is asked of you yet. As soon as an administrator has entered by when one is due, each act of it
      stands here with its day.
    </p>
  )
}
