import type { Metadata } from 'next'
import { Link } from '@/app/ui/Link'
import { pageVisitor } from '@/lib/access/guard'
import { presence } from '@/lib/access/session/visitor'
import { feedsFor, takeMadeFeed } from '@/lib/digest/calendar/plantFeeds'
import { pressingFirst } from '@/lib/digest/weekly/pressingFirst'
import { scopeOf } from '@/lib/policy/principal'
import { mayAsk } from '@/lib/policy/routes'
import { dueWork, hasDuties } from '@/lib/store/read/due/dueWork'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { KeepFresh } from '../ui/KeepFresh'
import { LiveQueries } from '../ui/LiveQueries'
import { DueCalendars } from './DueCalendars'
import { DueReport } from './DueReport'
import { dueFilter, leavingOf } from './dueFilter'
import { dueViewOf } from './dueView'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'What is due' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function DuePage({ searchParams }: { searchParams: Params }) {
  const person = await pageVisitor('page /due')
  const params = await searchParams
  const named = (name: string) => [params[name]].flat()[0]
  const work = await dueWork(sharedPool(), scopeOf(person), Date.now())
  const first = await pressingFirst(sharedPool(), scopeOf(person), work)
  const zone = (await presence())?.zone ?? 'UTC'
  const calendars = mayAsk('POST /api/due/feeds', person) ? await feedsFor(person) : null
  const asked = named('made')
  const ticket = asked === 'none' || asked === 'enough' ? undefined : asked
  return (
    <>
      <DueReport
        view={dueViewOf(work, first, person, dueFilter(named), named('all') === 'yes')}
        zone={zone}
        leaving={leavingOf(named, work)}
        isGone={named('gone') === 'yes'}
        empty={
          <EmptyDue
            hasDuties={await hasDuties(sharedPool(), scopeOf(person))}
            isAdministrator={person.roles.isAdministrator}
          />
        }
      >
        {calendars && (
          <DueCalendars
            {...calendars}
            made={ticket === undefined ? undefined : takeMadeFeed(person, ticket)}
            notMade={asked === 'none' || asked === 'enough' ? asked : null}
            revoked={named('revoked')}
            zone={zone}
            now={work.asOf}
          />
        )}
      </DueReport>
      {/* Painted again, the page would have the address no more. */}
      {ticket === undefined && (
        <LiveQueries>
          <KeepFresh asOf={work.asOf} />
        </LiveQueries>
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
