import type { Metadata } from 'next'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { getArrivals } from '@/lib/store/read/arrivals/arrivals'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../ui/AutoRefresh'
import { DemoNotice } from '../ui/DemoNotice'
import { QueryProvider } from '../ui/QueryProvider'
import { ArrivalsReport } from './ArrivalsReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Arrivals' }

export default async function ArrivalsPage() {
  const person = await requireUser('page /arrivals')
  const scope = getScope(person)
  const coming = await getArrivals(
    getAppPool(),
    scope,
    scope === 'all' ? null : scope.laboratories,
    Date.now(),
  )
  return (
    <>
      <DemoNotice isDemo={coming.isDemo} />
      <ArrivalsReport arrivals={coming} reader={person.roles} />
      <QueryProvider>
        <AutoRefresh asOf={coming.asOf} />
      </QueryProvider>
    </>
  )
}
