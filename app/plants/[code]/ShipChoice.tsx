import filters from '@/app/ui/BoardFilters.module.css'
import type { ShipPage } from '@/lib/store/read/ship/shipWindows'

/** For which protocol and laboratory: said where there is one, else a plain form kept in the address. */
export function ShipChoice({ page: { choices, choice, plant, laboratory, protocol } }: { page: ShipPage }) {
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
