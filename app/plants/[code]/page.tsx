import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { useTranslate } from '#translate'
import filters from '@/app/ui/Filters.module.css'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { nameBidiControls } from '@/lib/messages/bidiControls'
import { getScope } from '@/lib/policy/principal'
import { getTurnaround } from '@/lib/store/read/figures/turnaround'
import { getPlantPage } from '@/lib/store/read/plant/plantPage'
import { getPlantShipWindows, type ShipPage } from '@/lib/store/read/ship/shipWindows'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { CuttingCaution } from '../../ui/CuttingCaution'
import { DemoNotice } from '../../ui/DemoNotice'
import { QueryProvider } from '../../ui/QueryProvider'
import { TurnaroundTable } from '../../ui/TurnaroundTable'
import { ViewerProvider } from '../../ui/ViewerProvider'
import { HandOverPanel } from './HandOverPanel'
import { LivePlant } from './LivePlant'
import { RefreshAfterPickup } from './RefreshAfterPickup'
import { ShipWindows } from './ShipWindows'

export const dynamic = 'force-dynamic'

type Props = {
  params: Promise<{ code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

/** Read once per request, for the title and the page alike. */
const getPage = cache(async (code: string) =>
  getPlantPage(
    getAppPool(),
    getScope(await requireUser('page /plants/[code]')),
    decodeURIComponent(code),
    Date.now(),
  ),
)

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const page = await getPage((await params).code)
  return { title: nameBidiControls(page?.plant.name ?? (await getTranslate())('plants.notFound.title')) }
}

export default async function PlantPage({ params, searchParams }: Props) {
  const page = (await getPage((await params).code)) ?? notFound()
  const person = await requireUser('page /plants/[code]')
  const query = await searchParams
  const [scope, plant, now] = [getScope(person), page.plant.code, Date.now()]
  const ship = await getPlantShipWindows(getAppPool(), scope, plant, [query.ship].flat()[0] ?? null, now)
  const times = await getTurnaround(getAppPool(), scope, { plant }, now)
  return (
    <QueryProvider>
      <DemoNotice isDemo={page.isDemo} />
      <ViewerProvider roles={person.roles}>
        <LivePlant key={plant} initial={page} turnaround={<TurnaroundTable times={times} />}>
          <HandOverPanel page={page} person={person} params={query} />
          <PlantShipWindows page={ship} />
          <CuttingCaution />
        </LivePlant>
      </ViewerProvider>
    </QueryProvider>
  )
}

/** When a plant is best to cut and hand over, for one protocol and one laboratory at a time. */
function PlantShipWindows({ page }: { page: ShipPage | null }) {
  if (page === null) return null
  return (
    <>
      <ShipWindows page={page}>
        <ShipChoice page={page} />
      </ShipWindows>
      <RefreshAfterPickup asOf={page.asOf} nextAt={page.advice.next?.handOverAt ?? null} />
    </>
  )
}

/** The protocol and laboratory: named where there is one pair, else a form whose choice is kept in the address. */
function ShipChoice({ page: { choices, choice, plant, laboratory, protocol } }: { page: ShipPage }) {
  const t = useTranslate()
  if (choices.length < 2)
    return t('plants.ship.about', { laboratory: laboratory.name, protocol: protocol.name })
  return (
    <form action={`/plants/${encodeURIComponent(plant.code)}`} className={filters.filters}>
      <label>
        <span>{t('plants.ship.which')}</span>
        <select name="ship" defaultValue={choice ?? ''}>
          {choices.map(({ key, name }) => (
            <option key={key} value={key}>
              {t.message(name)}
            </option>
          ))}
        </select>
      </label>
      <button type="submit">{t('plants.ship.show')}</button>
    </form>
  )
}
