import type { Metadata } from 'next'
import { requireUser } from '@/lib/access/guard'
import { getScope } from '@/lib/policy/principal'
import { getArrivals } from '@/lib/store/read/arrivals/arrivals'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { AutoRefresh } from '../ui/AutoRefresh'
import { DemoNotice } from '../ui/DemoNotice'
import { getTranslate } from '../ui/language/serverTranslate'
import { QueryProvider } from '../ui/QueryProvider'
import { ArrivalsReport } from './ArrivalsReport'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('arrivals.title') }
}

export default async function ArrivalsPage() {
  const person = await requireUser('page /arrivals')
  const scope = getScope(person)
  const arrivals = await getArrivals(
    getAppPool(),
    scope,
    scope === 'all' ? null : scope.laboratories,
    Date.now(),
  )
  return (
    <>
      <DemoNotice isDemo={arrivals.isDemo} />
      <ArrivalsReport arrivals={arrivals} viewer={person.roles} />
      <QueryProvider>
        <AutoRefresh asOf={arrivals.asOf} />
      </QueryProvider>
    </>
  )
}
