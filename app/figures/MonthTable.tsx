import table from '@/app/ui/Table.module.css'
import { Told } from '@/app/ui/Told'
import type { Figures } from '@/lib/store/read/figures/figures'
import { monthWords } from './monthWords'
import { shareWords } from './shareWords'

/** How samples settled in each month, newest first, with the share that was kept. Months are those of UTC. */
export function MonthTable({ months }: { months: Figures['months'] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys.
    <section className={table.scroll} aria-label="How samples settled, month by month" tabIndex={0}>
      <table className={table.table}>
        <caption>
          By the month of UTC in which a sample was settled, newest first. The share is of those kept, kept by
          extension and lapsed.
        </caption>
        <thead>
          <tr>
            <th scope="col">Month</th>
            {months[0]?.settled.figures.map(({ name }) => (
              <th key={name} scope="col" className={table.number}>
                {name}
              </th>
            ))}
            <th scope="col" className={table.number}>
              share kept
            </th>
          </tr>
        </thead>
        <tbody>
          {months.map(({ month, settled }) => (
            <tr key={month}>
              <th scope="row" className="whole">
                {monthWords(month)}
              </th>
              {settled.figures.map(({ name, count }) => (
                <td key={name} className={table.number}>
                  <Told count={count} />
                </td>
              ))}
              <td className={table.number}>{shareWords(settled) ?? <Told count={null} />}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
