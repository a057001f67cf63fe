import styles from '@/app/ui/BoardFilters.module.css'
import due from './DueReport.module.css'
import type { DoerName, DueFilter } from './dueFilter'

const BY: [DoerName, string][] = [
  ['me', 'me'],
  ['programme', 'the programme'],
  ['plant', 'plants'],
  ['laboratory', 'laboratories'],
]

/** Of which plant and by whom, as a plain form whose choice stands in the address. */
export function DueFilters({
  filter,
  plants,
}: {
  filter: DueFilter
  plants: readonly { code: string; name: string }[]
}) {
  const isKnown = filter.plant === null || plants.some(({ code }) => code === filter.plant)
  return (
    <search className={due.filters}>
      <form action="/due" className={styles.filters}>
        {(plants.length > 1 || filter.plant !== null) && (
          <label>
            <span>Plant</span>
            <select name="plant" defaultValue={filter.plant ?? ''}>
              <option value="">any</option>
              {!isKnown && <option>{filter.plant}</option>}
              {plants.map(({ code, name }) => (
                <option key={code} value={code}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
        <label>
          <span>To be done by</span>
          <select name="by" defaultValue={filter.by ?? ''}>
            <option value="">anyone</option>
            {BY.map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <button type="submit">Show</button>
        {(filter.plant !== null || filter.by !== null) && <a href="/due">Clear</a>}
      </form>
    </search>
  )
}
