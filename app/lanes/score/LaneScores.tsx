import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { findBestRule, type Score } from '@/lib/lane/backtest/scoreboard'
import type { BacktestScores } from '@/lib/store/read/lanes/backtestPage'
import { formatBrierScore, formatFinePercent, formatPlainRule } from './scoreText'

/** The score of each lane beside the plain rule that did best on it. */
export function LaneScores({ lanes }: { lanes: BacktestScores['lanes'] }) {
  const t = useTranslate()
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys.
    <section className={table.scroll} aria-label="Scores lane by lane" tabIndex={0}>
      <table className={`${table.table} ${table.stack}`}>
        <caption>
          Each lane beside the plain rule that came nearest on it. With few consignments either may win by
          luck; where it may, the words say so.
        </caption>
        <thead>
          <tr>
            <th scope="col">Lane</th>
            <th scope="col" className={table.number}>
              Consignments
            </th>
            <th scope="col" className={table.number}>
              Late
            </th>
            <th scope="col" className={table.number}>
              Forecast’s score
            </th>
            <th scope="col" className={table.number}>
              Best plain rule’s
            </th>
            <th scope="col">So here</th>
          </tr>
        </thead>
        <tbody>
          {lanes.map(({ lane, score }) => (
            <tr key={JSON.stringify([lane.plant, lane.laboratory, lane.service])}>
              <th scope="row">
                {lane.plantName} to {lane.laboratoryName}
                <span className={table.quiet}>{lane.serviceName ?? 'service not named'}</span>
              </th>
              <td className={table.number} data-head="Consignments">
                {score.consignments.toLocaleString('en-GB')}
              </td>
              <td className={table.number} data-head="Late">
                {formatFinePercent(t, score.late)}
              </td>
              <td className={table.number} data-head="Forecast’s score">
                {formatBrierScore(t, score.brier.mean)}
              </td>
              <td className={table.number} data-head="Best plain rule’s score">
                {formatBrierScore(t, findBestRule(score).score.mean)}
              </td>
              <td>
                <Verdict score={score} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function Verdict({ score }: { score: Score }) {
  const t = useTranslate()
  const best = findBestRule(score)
  const chance = best.isBeyondChance ? 'beyond chance' : 'within chance'
  if (best.nearer === 'other')
    return (
      <>
        <span className={table.lapsed}>The plain rule wins here</span>, {chance}
        <span className={table.quiet}>{formatPlainRule(t, best.rule)}</span>
      </>
    )
  return (
    <>
      {best.nearer === 'ours' ? `The forecast is nearer, ${chance}` : 'Neither is nearer'}
      <span className={table.quiet}>than {formatPlainRule(t, best.rule)}</span>
    </>
  )
}
