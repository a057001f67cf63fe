import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { mayAsk } from '@/lib/policy/routes'
import { pooledTurnaround, turnaround } from '@/lib/store/read/figures/turnaround'
import { pooledTransit } from '@/lib/store/read/lanes/laneFigures'
import { laneList } from '@/lib/store/read/lanes/laneList'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../ui/DemoLine'
import { Link } from '../ui/Link'
import { LaneListReport } from './LaneListReport'
import { laneFilter } from './laneAddress'
import { PooledReport } from './PooledReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Lanes' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function LanesPage({ searchParams }: { searchParams: Params }) {
  const person = await pageVisitor('page /lanes')
  const [filter, scope, now] = [laneFilter(await searchParams), scopeOf(person), Date.now()]
  const seesLanes = mayAsk('page /lanes/[plant]/[laboratory]/[service]', person)
  const list = await laneList(sharedPool(), scope, filter, now)
  return (
    <>
      <DemoLine isDemo={list.isDemo} />
      {seesLanes && (
        <LaneListReport
          list={list}
          filter={filter}
          times={await turnaround(sharedPool(), scope, filter, now)}
        />
      )}
      {person.roles.isReader && scope !== 'all' && (
        <PooledReport
          transit={await pooledTransit(sharedPool(), now)}
          times={await pooledTurnaround(sharedPool(), now)}
          asOf={now}
          isAlone={!seesLanes}
        />
      )}
      {mayAsk('page /lanes/score', person) && (
        <p>
          <Link href="/lanes/score">How good the forecasts have been</Link>, beside what plain rules would
          have said.
        </p>
      )}
    </>
  )
}
