import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { arrivals } from '@/lib/store/read/arrivals/arrivals'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { DemoLine } from '../ui/DemoLine'
import { KeepFresh } from '../ui/KeepFresh'
import { LiveQueries } from '../ui/LiveQueries'
import { ArrivalsReport } from './ArrivalsReport'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Arrivals' }

export default async function ArrivalsPage() {
  const person = await pageVisitor('page /arrivals')
  const scope = scopeOf(person)
  const coming = await arrivals(sharedPool(), scope, scope === 'all' ? null : scope.laboratories, Date.now())
  return (
    <>
      <DemoLine isDemo={coming.isDemo} />
      <ArrivalsReport arrivals={coming} reader={person.roles} />
      <LiveQueries>
        <KeepFresh asOf={coming.asOf} />
      </LiveQueries>
    </>
  )
}
