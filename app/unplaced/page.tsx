import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { canonical } from '@/lib/custody/kitCode'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { board } from '@/lib/store/read/board'
import { type UnplacedEvent, unplacedEvents } from '@/lib/store/read/unplaced/unplacedEvents'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { consignmentOf, NO_CONSIGNMENT } from '../api/record/moves'
import { moveFaults } from '../samples/[code]/moveFaults'
import { DemoLine } from '../ui/DemoLine'
import { KeepFresh } from '../ui/KeepFresh'
import { LiveQueries } from '../ui/LiveQueries'
import type { Assigning } from './AssignForm'
import { UnplacedReport } from './UnplacedReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Unplaced events' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function UnplacedPage({ searchParams }: { searchParams: Params }) {
  const params = await searchParams
  const { search } = params
  const person = await pageVisitor('page /unplaced')
  const found = await unplacedEvents(sharedPool(), scopeOf(person), Date.now())
  return (
    <>
      <DemoLine isDemo={found.isDemo} />
      <UnplacedReport
        found={found}
        isBegun={found.total > 0 || (await isBegun(found.asOf))}
        assigning={await assigningOf(person, found.events, params, found.asOf)}
        search={typeof search === 'string' ? search.trim() : ''}
      />
      <LiveQueries>
        <KeepFresh asOf={found.asOf} />
      </LiveQueries>
    </>
  )
}

/** Whether the register has any kit yet: if not, nothing unplaced means that nothing was sent. */
async function isBegun(now: number): Promise<boolean> {
  const { counts, hasSettled } = await board(
    sharedPool(),
    scopeOf(await pageVisitor('page /unplaced')),
    {},
    now,
  )
  return counts.open > 0 || hasSettled
}

/** What was typed about assigning an event, as the address has it, and what is wrong with it; null where nothing was. */
async function assigningOf(
  person: Person,
  events: readonly UnplacedEvent[],
  params: Record<string, string | string[] | undefined>,
  now: number,
): Promise<Assigning | null> {
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const chosen = events.find(({ key }) => key === one('assign'))
  if (!chosen) return null
  const [to, reason] = [canonical(one('to')), one('why').trim()]
  const faults = await moveFaults(person, chosen.event.sample ?? '', to, reason, now)
  const isPlaceable = chosen.event.sample !== null || (await consignmentOf(person, to, now)) !== null
  if (faults.length === 0 && !isPlaceable) faults.push(NO_CONSIGNMENT)
  return { key: chosen.key, to, reason, faults }
}
