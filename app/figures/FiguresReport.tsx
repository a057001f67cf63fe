import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { CountOrWithheld, LAST_YEAR_CAPTION, TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { formatLongInstant } from '@/app/ui/words/instant'
import { MONTH_NAMES } from '@/lib/hold/holidayText'
import type { Translate } from '@/lib/messages/translate'
import type { Figures } from '@/lib/store/read/figures/figures'
import type { PooledTurnaround } from '@/lib/store/read/figures/turnaround'

/** The programme over all plants, with none named. */
export function FiguresReport({ figures, times }: { figures: Figures; times: PooledTurnaround }) {
  const t = useTranslate()
  const { asOf, open, months } = figures
  return (
    <>
      <h1>The programme as a whole</h1>
      <p className="prose">
        As of <time dateTime={new Date(asOf).toISOString()}>{formatLongInstant(t, asOf, 'UTC', asOf)}</time>,
        over all plants. A figure stands here only where three makers or more stand behind it; plants that
        name no maker count as one. Of several figures that sum to one, a second is withheld where the first
        could be worked out.
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
                <CountOrWithheld count={count} />
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
      <TurnaroundTable times={times} caption={LAST_YEAR_CAPTION} />
    </>
  )
}

/** How samples settled in each month, newest first, with the share that was kept. Months are those of UTC. */
function MonthTable({ months }: { months: Figures['months'] }) {
  const t = useTranslate()
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
                {formatMonth(t, month)}
              </th>
              {settled.figures.map(({ name, count }) => (
                <td key={name} className={table.number}>
                  <CountOrWithheld count={count} />
                </td>
              ))}
              <td className={table.number}>
                {formatShareKept(t, settled) ?? <CountOrWithheld count={null} />}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** "November 2026" for "2026-11". */
function formatMonth(t: Translate, month: string): string {
  const [year, number] = month.split('-')
  return `${MONTH_NAMES[Number(number) - 1]} ${year}`
}

/**
 * The share of samples kept among those that were kept or lapsed, cut down to a whole percentage so that 100 % is said
 * of nothing less; null where one of the three counts is not told, empty where there is none.
 */
function formatShareKept(t: Translate, { figures }: Figures['months'][number]['settled']): string | null {
  const count = (name: string) => figures.find((one) => one.name === name)?.count ?? null
  const [kept, extended, lapsed] = [count('kept'), count('kept by extension'), count('lapsed')]
  if (kept === null || extended === null || lapsed === null) return null
  if (kept + extended + lapsed === 0) return ''
  return `${Math.floor((100 * (kept + extended)) / (kept + extended + lapsed))} %`
}
