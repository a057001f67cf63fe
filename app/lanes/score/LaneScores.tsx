import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import { findBestRule, type Score } from '@/lib/lane/backtest/scoreboard'
import type { BacktestScores } from '@/lib/store/read/lanes/backtestPage'
import { formatBrierScore, formatFinePercent, formatPlainRule, getCertainty } from './scoreText'

/** Each lane's score beside the best plain rule for it. */
export function LaneScores({ lanes }: { lanes: BacktestScores['lanes'] }) {
  const t = useTranslate()
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys.
    <section className={table.scroll} aria-label={t('scores.lanes.label')} tabIndex={0}>
      <table className={`${table.table} ${table.stack}`}>
        <caption>{t('scores.lanes.caption')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('scores.lanes.column.lane')}</th>
            <th scope="col" className={table.number}>
              {t('scores.lanes.column.consignments')}
            </th>
            <th scope="col" className={table.number}>
              {t('scores.lanes.column.late')}
            </th>
            <th scope="col" className={table.number}>
              {t('scores.lanes.column.forecast')}
            </th>
            <th scope="col" className={table.number}>
              {t('scores.lanes.column.rule')}
            </th>
            <th scope="col">{t('scores.lanes.column.result')}</th>
          </tr>
        </thead>
        <tbody>
          {lanes.map(({ lane, score }) => (
            <tr key={JSON.stringify([lane.plant, lane.laboratory, lane.service])}>
              <th scope="row">
                {t('lanes.name', { plant: lane.plantName, laboratory: lane.laboratoryName })}
                <span className={table.quiet}>{lane.serviceName ?? t('scores.lanes.noService')}</span>
              </th>
              <td className={table.number} data-head={t('scores.lanes.column.consignments')}>
                {t.number(score.consignments)}
              </td>
              <td className={table.number} data-head={t('scores.lanes.column.late')}>
                {formatFinePercent(t, score.late)}
              </td>
              <td className={table.number} data-head={t('scores.lanes.column.forecast')}>
                {formatBrierScore(t, score.brier.mean)}
              </td>
              <td className={table.number} data-head={t('scores.lanes.column.rule')}>
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
  const certainty = getCertainty(best)
  return (
    <>
      {best.nearer === 'other' &&
        rich(t, 'scores.lanes.ruleWins', {
          certainty,
          mark: (text) => <span className={table.lapsed}>{text}</span>,
        })}
      {best.nearer === 'ours' && t('scores.lanes.forecastWins', { certainty })}
      {best.nearer === 'neither' && t('scores.lanes.even')}
      <span className={table.quiet}>
        {t('scores.lanes.against', { rule: formatPlainRule(t, best.rule) })}
      </span>
    </>
  )
}
