import type { ReactNode } from 'react'
import table from '@/app/ui/Table.module.css'
import styles from './ServerReport.module.css'

/** A heading, and beneath it facts with their names. A fact that is null is left out. */
export function FactTable({
  heading,
  facts,
}: {
  heading: string
  facts: readonly (readonly [name: string, fact: ReactNode])[]
}) {
  return (
    <section>
      <h2>{heading}</h2>
      <table className={`${table.table} ${table.narrow} ${table.stack} ${styles.facts}`} aria-label={heading}>
        <tbody>
          {facts
            .filter(([, fact]) => fact !== null)
            .map(([name, fact]) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>{fact}</td>
              </tr>
            ))}
        </tbody>
      </table>
    </section>
  )
}
