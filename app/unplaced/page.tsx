import type { Metadata } from 'next'
import { requireUser } from '@/lib/access/guard'
import { isOfUnknownBox } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import { getScope, type Person } from '@/lib/policy/principal'
import { getBoard } from '@/lib/store/read/board'
import { listUnplacedEvents, type UnplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { findConsignment, NO_CONSIGNMENT } from '../api/record/moveEvents'
import { findMoveFaults } from '../samples/[code]/findMoveFaults'
import { AutoRefresh } from '../ui/AutoRefresh'
import { DemoNotice } from '../ui/DemoNotice'
import { getTranslate } from '../ui/language/serverTranslate'
import { QueryProvider } from '../ui/QueryProvider'
import type { AssignFormState } from './AssignForm'
import { UnplacedReport } from './UnplacedReport'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  return { title: (await getTranslate())('unplaced.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function UnplacedPage({ searchParams }: { searchParams: Params }) {
  const params = await searchParams
  const { search } = params
  const person = await requireUser('page /unplaced')
  const found = await listUnplacedEvents(getAppPool(), getScope(person), Date.now())
  return (
    <>
      <DemoNotice isDemo={found.isDemo} />
      <UnplacedReport
        found={found}
        isBegun={found.total > 0 || (await hasAnySample(found.asOf))}
        assigning={await readAssignFormState(person, [...found.events, ...found.claims], params, found.asOf)}
        search={typeof search === 'string' ? search.trim() : ''}
      />
      <QueryProvider>
        <AutoRefresh asOf={found.asOf} />
      </QueryProvider>
    </>
  )
}

/** Without any kit in the register, an empty list means that nothing was sent yet. */
async function hasAnySample(now: number): Promise<boolean> {
  const { counts, hasSettled } = await getBoard(
    getAppPool(),
    getScope(await requireUser('page /unplaced')),
    {},
    now,
  )
  return counts.total > 0 || hasSettled
}

/** What was typed to assign an event, from the address, and its faults; null where nothing was typed. */
async function readAssignFormState(
  person: Person,
  events: readonly UnplacedEvent[],
  params: Record<string, string | string[] | undefined>,
  now: number,
): Promise<AssignFormState | null> {
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const chosen = events.find(({ key }) => key === one('assign'))
  if (!chosen) return null
  const [to, reason] = [toCanonical(one('to')), one('why').trim()]
  const faults = await findMoveFaults(
    person,
    { from: chosen.isClaim ? '' : (chosen.event.sample ?? ''), to, kinds: [chosen.event.kind], reason },
    now,
  )
  const { event } = chosen
  const isPlaceable =
    event.sample !== null || isOfUnknownBox(event) || (await findConsignment(person, to, now)) !== null
  if (faults.length === 0 && !isPlaceable) faults.push(NO_CONSIGNMENT)
  return { key: chosen.key, to, reason, faults }
}
