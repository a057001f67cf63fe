import table from '@/app/ui/Table.module.css'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import { isOff } from './ReliabilityPicture'
import { percentWords } from './scoreWords'

/** The reliability picture in figures. */
export function ReliabilityTable({ bins }: { bins: Score['bins'] }) {
  return (
    <table className={table.table}>
      <caption>Forecasts by the chance that they gave</caption>
      <thead>
        <tr>
          <th scope="col">Said, on average</th>
          <th scope="col" className={table.number}>
            Was late
          </th>
          <th scope="col" className={table.number}>
            Between, as nine in ten
          </th>
          <th scope="col" className={table.number}>
            Forecasts
          </th>
          <th scope="col" className={table.number}>
            Consignments
          </th>
        </tr>
      </thead>
      <tbody>
        {bins.map((bin) => (
          <tr key={bin.from}>
            <th scope="row">
              {percentWords(bin.said)}
              {isOff(bin) && (
                <span className={`${table.quiet} ${table.lapsed}`}>
                  {bin.came > bin.said ? 'more came late than was said' : 'fewer came late than was said'}
                </span>
              )}
            </th>
            <td className={table.number}>{percentWords(bin.came)}</td>
            <td className={table.number}>
              {percentWords(bin.low)} to {percentWords(bin.high)}
            </td>
            <td className={table.number}>{bin.forecasts.toLocaleString('en-GB')}</td>
            <td className={table.number}>{bin.consignments.toLocaleString('en-GB')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
