import table from '@/app/ui/Table.module.css'
import { Told } from '@/app/ui/Told'
import { LAST_YEAR, TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { headingInstant } from '@/app/ui/words/instantWords'
import type { Figures } from '@/lib/store/read/figures/figures'
import type { PooledTurnaround } from '@/lib/store/read/figures/turnaround'
import { MonthTable } from './MonthTable'

/** The programme over all plants, with none named. */
export function FiguresReport({ figures, times }: { figures: Figures; times: PooledTurnaround }) {
  const { asOf, open, months } = figures
  return (
    <>
      <h1>The programme as a whole</h1>
      <p className="prose">
        As of <time dateTime={new Date(asOf).toISOString()}>{headingInstant(asOf, 'UTC', asOf)}</time>, over
        all plants. A figure stands here only where three makers or more stand behind it; plants that name no
        maker count as one. Of several figures that sum to one, a second is withheld where the first could be
        worked out.
      </p>
      <h2>Samples under way, by standing</h2>
      <table className={`${table.table} ${table.narrow}`}>
        <caption>
          {open.total === null
            ? 'How many in all is withheld'
            : `${open.total.toLocaleString('en-GB')} in all`}
        </caption>
        <thead>
          <tr>
            <th scope="col">Standing</th>
            <th scope="col" className={table.number}>
              Samples
            </th>
          </tr>
        </thead>
        <tbody>
          {open.figures.map(({ name, count }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td className={table.number}>
                <Told count={count} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <h2>How samples settled, by month</h2>
      {months.length > 0 ? (
        <MonthTable months={months} />
      ) : (
        <p>No sample was settled in the last twelve months.</p>
      )}
      <h2>How long each part takes</h2>
      <TurnaroundTable times={times} caption={LAST_YEAR} />
    </>
  )
}
