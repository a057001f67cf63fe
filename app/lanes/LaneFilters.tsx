import filters from '@/app/ui/BoardFilters.module.css'
import type { LaneFilter, LaneList } from '@/lib/store/read/lanes/laneList'
import styles from './Lanes.module.css'

const FIELDS = [
  ['plant', 'From', 'any plant'],
  ['laboratory', 'To', 'any laboratory'],
  ['service', 'By', 'any service'],
] as const

/** Which lanes to see, as a plain form kept in the address. */
export function LaneFilters({
  choices,
  filter,
  isFiltered,
}: {
  choices: LaneList['choices']
  filter: LaneFilter
  isFiltered: boolean
}) {
  return (
    <search className={styles.search}>
      <form action="/lanes" className={filters.filters}>
        {FIELDS.filter(([key]) => choices[key].length > 1 || filter[key] !== undefined).map(
          ([key, label, any]) => (
            <label key={key}>
              <span>{label}</span>
              <select name={key} defaultValue={filter[key] ?? ''}>
                <option value="">{any}</option>
                {choices[key].map(({ code, name }) => (
                  <option key={code} value={code}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
          ),
        )}
        {choices.plant.length + choices.laboratory.length + choices.service.length > 3 && (
          <button type="submit">Show</button>
        )}
        {isFiltered && <a href="/lanes">Clear</a>}
      </form>
    </search>
  )
}
