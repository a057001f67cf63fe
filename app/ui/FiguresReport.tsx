import type { Figures } from '@/lib/store'
import { tableDuration } from '../words/durationWords'
import { headingInstant } from '../words/instantWords'
import { stageName } from '../words/stageNames'
import { MonthTable } from './MonthTable'
import table from './Table.module.css'
import { Told, WITHHELD } from './Told'

/** The programme over all plants, with none named. */
export function FiguresReport({ figures }: { figures: Figures }) {
  const { asOf, open, months, stages } = figures
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
      <h2>How long each stage took</h2>
      {stages.length === 0 && <p>No stage has been completed yet.</p>}
      {stages.length > 0 && (
        <table className={`${table.table} ${table.narrow}`}>
          <caption>Over the samples whose kits went out in the last twelve months</caption>
          <thead>
            <tr>
              <th scope="col">Stage</th>
              <th scope="col" className={table.number}>
                Half within
              </th>
              <th scope="col" className={table.number}>
                Nine of ten within
              </th>
              <th scope="col" className={table.number}>
                Samples
              </th>
            </tr>
          </thead>
          <tbody>
            {stages.map(({ stage, duration }) => (
              <tr key={stageName(stage)}>
                <th scope="row">{stageName(stage)}</th>
                {duration === null ? (
                  <td colSpan={3} className={table.number}>
                    <i>{WITHHELD}</i>
                  </td>
                ) : (
                  <>
                    <td className={table.number}>{tableDuration(duration.medianHours)}</td>
                    <td className={table.number}>{tableDuration(duration.ninetiethHours)}</td>
                    <td className={table.number}>{duration.count.toLocaleString('en-GB')}</td>
                  </>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  )
}
