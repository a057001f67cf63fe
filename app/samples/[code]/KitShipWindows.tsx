import { ShipWindows } from '@/app/plants/[code]/ShipWindows'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'

/** When a sample that is not yet handed over should be. */
export function KitShipWindows({ page }: { page: ShipPage | null }) {
  if (page === null) return null
  return (
    <ShipWindows page={page}>
      to {page.laboratory.name}, by the limits of {page.protocol.name}
    </ShipWindows>
  )
}
