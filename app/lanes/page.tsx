import type { Metadata } from 'next'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import { getPooledTurnaround, getTurnaround } from '@/lib/store/read/figures/turnaround'
import { readPooledTransit } from '@/lib/store/read/lanes/laneFigures'
import { readLaneList } from '@/lib/store/read/lanes/laneList'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { DemoNotice } from '../ui/DemoNotice'
import { Link } from '../ui/Link'
import { LaneListReport } from './LaneListReport'
import { parseLaneFilter } from './laneAddress'
import { PooledReport } from './PooledReport'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('lanes.title') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function LanesPage({ searchParams }: { searchParams: Params }) {
  const person = await requireUser('page /lanes')
  const [filter, scope, now] = [parseLaneFilter(await searchParams), getScope(person), Date.now()]
  const seesLanes = mayAccess('page /lanes/[plant]/[laboratory]/[service]', person)
  const list = await readLaneList(getAppPool(), scope, filter, now)
  return (
    <>
      <DemoNotice isDemo={list.isDemo} />
      {seesLanes && (
        <LaneListReport
          list={list}
          filter={filter}
          times={await getTurnaround(getAppPool(), scope, filter, now)}
        />
      )}
      {person.roles.isReader && scope !== 'all' && (
        <PooledReport
          transit={await readPooledTransit(getAppPool(), now)}
          times={await getPooledTurnaround(getAppPool(), now)}
          asOf={now}
          isAlone={!seesLanes}
        />
      )}
      {mayAccess('page /lanes/score', person) && (
        <p>
          {rich(await getTranslate(), 'lanes.accuracy', {
            link: (text) => <Link href="/lanes/score">{text}</Link>,
          })}
        </p>
      )}
    </>
  )
}
