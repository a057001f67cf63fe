import styles from './DifferenceList.module.css'
import { differences } from './differenceWords'

const MOST_SHOWN = 12

/** What a change changed: each value with what it was, struck through, and what it is. */
export function DifferenceList({ before, after }: { before: unknown; after: unknown }) {
  const found = differences(before, after)
  if (found.length === 0) return null
  return (
    <ul className={styles.list}>
      {found.slice(0, MOST_SHOWN).map(({ place, before: was, after: is }) => (
        <li key={place}>
          {place && <span className={styles.place}>{place}: </span>}
          {was !== null && <del>{was}</del>}
          {was !== null && is !== null && ' '}
          {is !== null && <ins>{is}</ins>}
        </li>
      ))}
      {found.length > MOST_SHOWN && <li>and {found.length - MOST_SHOWN} more, all of them in the export</li>}
    </ul>
  )
}
