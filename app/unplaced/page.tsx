import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { board } from '@/lib/store/read/board/board'
import { unplacedEvents } from '@/lib/store/read/unplaced/unplacedEvents'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../ui/DemoLine'
import { KeepFresh } from '../ui/KeepFresh'
import { LiveQueries } from '../ui/LiveQueries'
import { assigningOf } from './assigning'
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
