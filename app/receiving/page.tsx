import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { RecordedNotice } from '@/app/ui/RecordedNotice'
import { requireUser } from '@/lib/access/guard'
import { handSource } from '@/lib/policy/handSource'
import { getScope } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { listKeptBoxes } from '@/lib/store/read/arrivals/keptBoxes'
import { getReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { judgeSamples } from '@/lib/store/read/judged/judgeSamples'
import { findVisibleKits, listSubmittedEvents, type SubmittedEvent } from '@/lib/store/read/sample/eventForm'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../ui/AutoRefresh'
import { DemoNotice } from '../ui/DemoNotice'
import { QueryProvider } from '../ui/QueryProvider'
import { KeptBoxList } from './KeptBoxList'
import { ReceivedBoxes } from './ReceivedBoxes'
import { ReceivingReport } from './ReceivingReport'
import { listNamedCodes } from './receivingState'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  return { title: (await getTranslate())('receiving.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function ReceivingPage({ searchParams }: { searchParams: Params }) {
  const person = await requireUser('page /receiving')
  const params = await searchParams
  const scope = getScope(person)
  const list = await getReceivingList(
    getAppPool(),
    scope,
    scope === 'all' ? null : scope.laboratories,
    Date.now(),
  )
  const named = listNamedCodes(params)
  const kits = named.length === 0 ? [] : await findVisibleKits(getAppPool(), scope, named, list.asOf)
  const kept = await listKeptBoxes(getAppPool(), scope, list.asOf)
  const token = [params.done].flat()[0] ?? ''
  const done =
    token === '' ? [] : await listSubmittedEvents(getAppPool(), scope, handSource(person), token, list.asOf)
  const received = done.filter(({ kind }) => kind === 'received')
  const judgements = await judgeSamples(getAppPool(), received.flatMap(toKit), list.asOf)
  return (
    <>
      <DemoNotice isDemo={list.isDemo} />
      <ReceivingReport list={list} person={person} params={params} kits={kits}>
        <RecordedNotice
          events={done}
          now={list.asOf}
          from="receiving"
          canUndo={(event) => may(person, event.kind, event)}
        >
          <ReceivedBoxes events={received} judgements={judgements} />
        </RecordedNotice>
      </ReceivingReport>
      <KeptBoxList kept={kept} now={list.asOf} mayMatch={scope === 'all'} />
      <QueryProvider>
        <AutoRefresh asOf={list.asOf} />
      </QueryProvider>
    </>
  )
}

/** The kit of a report that names a sample; a box that waits to be matched has none. */
function toKit({ sample, plant, isKept }: SubmittedEvent): { code: string; plant: string }[] {
  return sample === null || isKept ? [] : [{ code: sample, plant }]
}
