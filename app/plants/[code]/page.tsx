import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import filters from '@/app/ui/Filters.module.css'
import { pageVisitor } from '@/lib/access/guard'
import { scopeOf } from '@/lib/policy/principal'
import { turnaround } from '@/lib/store/read/figures/turnaround'
import { plantPage } from '@/lib/store/read/plant/plantPage'
import { plantShipWindows, type ShipPage } from '@/lib/store/read/ship/shipWindows'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { CuttingCaution } from '../../ui/CuttingCaution'
import { DemoLine } from '../../ui/DemoLine'
import { LiveQueries } from '../../ui/LiveQueries'
import { LAST_YEAR, TurnaroundTable } from '../../ui/TurnaroundTable'
import { WhoReads } from '../../ui/WhoReads'
import { HandOver } from './HandOver'
import { LivePlant } from './LivePlant'
import { RefreshAt } from './RefreshAt'
import { ShipWindows } from './ShipWindows'

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

/** When a plant should cut and hand over, for one protocol and one laboratory at a time. */
function PlantShipWindows({ page }: { page: ShipPage | null }) {
  if (page === null) return null
  return (
    <>
      <ShipWindows page={page}>
        <ShipChoice page={page} />
      </ShipWindows>
      <RefreshAt asOf={page.asOf} nextAt={page.advice.next?.handOverAt ?? null} />
    </>
  )
}

/** For which protocol and laboratory: said where there is one, else a plain form kept in the address. */
function ShipChoice({ page: { choices, choice, plant, laboratory, protocol } }: { page: ShipPage }) {
  if (choices.length < 2)
    return (
      <>
        to {laboratory.name}, by the limits of {protocol.name}
      </>
    )
  return (
    <form action={`/plants/${encodeURIComponent(plant.code)}`} className={filters.filters}>
      <label>
        <span>Which samples</span>
        <select name="ship" defaultValue={choice ?? ''}>
          {choices.map(({ key, name }) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <button type="submit">Show</button>
    </form>
  )
}
