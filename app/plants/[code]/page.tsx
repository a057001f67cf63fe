import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { turnaround } from '@/lib/store/read/figures/turnaround'
import { plantPage } from '@/lib/store/read/plant/plantPage'
import { plantShipWindows } from '@/lib/store/read/ship/shipWindows'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { CuttingCaution } from '../../ui/CuttingCaution'
import { DemoLine } from '../../ui/DemoLine'
import { LiveQueries } from '../../ui/LiveQueries'
import { LAST_YEAR, TurnaroundTable } from '../../ui/TurnaroundTable'
import { WhoReads } from '../../ui/WhoReads'
import { HandOver } from './HandOver'
import { LivePlant } from './LivePlant'
import { PlantShipWindows } from './PlantShipWindows'

export const dynamic = 'force-dynamic'

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** One question per request, for the title and the page alike. */
const pageOf = cache(async (code: string) =>
  plantPage(
    sharedPool(),
    scopeOf(await pageVisitor('page /plants/[code]')),
    decodeURIComponent(code),
    Date.now(),
  ),
)

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const page = await pageOf((await params).code)
  return { title: page?.plant.name ?? 'No such plant' }
}

export default async function PlantPage({ params, searchParams }: Props) {
  const page = (await pageOf((await params).code)) ?? notFound()
  const person = await pageVisitor('page /plants/[code]')
  const query = await searchParams
  const [scope, plant, now] = [scopeOf(person), page.plant.code, Date.now()]
  const ship = await plantShipWindows(sharedPool(), scope, plant, [query.ship].flat()[0] ?? null, now)
  const times = await turnaround(sharedPool(), scope, { plant }, now)
  return (
    <LiveQueries>
      <DemoLine isDemo={page.isDemo} />
      <WhoReads part={person.roles}>
        <LivePlant
          key={plant}
          initial={page}
          turnaround={<TurnaroundTable times={times} caption={LAST_YEAR} />}
        >
          <HandOver page={page} person={person} params={query} />
          <PlantShipWindows page={ship} />
          <CuttingCaution />
        </LivePlant>
      </WhoReads>
    </LiveQueries>
  )
}
