import type { ShipPage } from '@/lib/store/read/ship/shipWindows'
import { RefreshAt } from './RefreshAt'
import { ShipChoice } from './ShipChoice'
import { ShipWindows } from './ShipWindows'

/** When a plant should cut and hand over, for one protocol and one laboratory at a time. */
export function PlantShipWindows({ page }: { page: ShipPage | null }) {
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
