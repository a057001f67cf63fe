import type { Metadata } from 'next'
import { Recorded } from '@/app/ui/Recorded'
import { pageVisitor } from '@/lib/access/guard'
import { mayRecord } from '@/lib/policy/mayRecord'
import { scopeOf } from '@/lib/policy/principal'
import { handSource } from '@/lib/policy/reporting'
import { receivingList } from '@/lib/store/read/arrivals/receivingList'
import { eventsOfAct } from '@/lib/store/read/sample/byHand'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../ui/DemoLine'
import { KeepFresh } from '../ui/KeepFresh'
import { LiveQueries } from '../ui/LiveQueries'
import { ReceivingReport } from './ReceivingReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Receiving' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function ReceivingPage({ searchParams }: { searchParams: Params }) {
  const person = await pageVisitor('page /receiving')
  const params = await searchParams
  const scope = scopeOf(person)
  const list = await receivingList(
    sharedPool(),
    scope,
    scope === 'all' ? null : scope.laboratories,
    Date.now(),
  )
  const token = [params.done].flat()[0] ?? ''
  const done =
    token === '' ? [] : await eventsOfAct(sharedPool(), scope, handSource(person), token, list.asOf)
  return (
    <>
      <DemoLine isDemo={list.isDemo} />
      <ReceivingReport list={list} params={params}>
        <Recorded
          events={done}
          now={list.asOf}
          from="receiving"
          canUndo={(event) => mayRecord(person, event.kind, event)}
        />
      </ReceivingReport>
      <LiveQueries>
        <KeepFresh asOf={list.asOf} />
      </LiveQueries>
    </>
  )
}
