import table from '@/app/ui/Table.module.css'
import { capitalised } from '@/app/ui/words/numberWords'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import { nearerWords, ruleWords, scoreFigure } from './scoreWords'

/** A score beside those of the plain rules, on the same forecasts. */
export function RuleTable({ score, caption }: { score: Score; caption: string }) {
  return (
    <table className={`${table.table} ${table.stack} ${table.narrow}`}>
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Saying</th>
          <th scope="col" className={table.number}>
            Brier score
          </th>
          <th scope="col">Nearer to what happened</th>
        </tr>
      </thead>
      <tbody>
        <tr>
          <th scope="row">The forecast</th>
          <td className={table.number} data-head="Brier score">
            {scoreFigure(score.brier.mean)}
          </td>
          <td />
        </tr>
        {score.rules.map((rule) => (
          <tr key={rule.rule}>
            <th scope="row">{capitalised(ruleWords(rule.rule))}</th>
            <td className={table.number} data-head="Brier score">
              {scoreFigure(rule.score.mean)}
            </td>
            <td className={rule.nearer === 'other' ? table.lapsed : undefined}>{nearerWords(rule)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
