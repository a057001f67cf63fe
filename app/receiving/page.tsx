import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { RecordedNotice } from '@/app/ui/RecordedNotice'
import { requireUser } from '@/lib/access/guard'
import { handSource } from '@/lib/policy/handSource'
import { getScope } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { getReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { listSubmittedEvents } from '@/lib/store/read/sample/eventForm'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../ui/AutoRefresh'
import { DemoNotice } from '../ui/DemoNotice'
import { QueryProvider } from '../ui/QueryProvider'
import { ReceivingReport } from './ReceivingReport'

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
  const token = [params.done].flat()[0] ?? ''
  const done =
    token === '' ? [] : await listSubmittedEvents(getAppPool(), scope, handSource(person), token, list.asOf)
  return (
    <>
      <DemoNotice isDemo={list.isDemo} />
      <ReceivingReport list={list} params={params}>
        <RecordedNotice
          events={done}
          now={list.asOf}
          from="receiving"
          canUndo={(event) => may(person, event.kind, event)}
        />
      </ReceivingReport>
      <QueryProvider>
        <AutoRefresh asOf={list.asOf} />
      </QueryProvider>
    </>
  )
}
