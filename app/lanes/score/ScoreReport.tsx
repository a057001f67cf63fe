import { scaleSqrt } from 'd3-scale'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import { formatDay, formatLongInstant } from '@/app/ui/words/instant'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { BacktestPage, BacktestScores } from '@/lib/store/read/lanes/backtestPage'
import { LaneScores } from './LaneScores'
import styles from './ScoreReport.module.css'
import { formatBrierScore, formatComparison, formatFinePercent, formatPlainRule } from './scoreText'

/** The accuracy of past forecasts: over all plants, and lane by lane for a reader who may know single plants. */
export function ScoreReport({ page, isPooled }: { page: BacktestPage; isPooled: boolean }) {
  const t = useTranslate()
  const { scores } = page
  return (
    <>
      <h1>{t('scores.title')}</h1>
      {scores === null && <p className="prose">{t('scores.computing')}</p>}
      {scores?.isWithheld && <p className="prose">{t('scores.withheld')}</p>}
      {scores && !scores.isWithheld && scores.overall === null && <NoScoresYet scores={scores} />}
      {scores?.overall && <Scored page={page} scores={scores} overall={scores.overall} isPooled={isPooled} />}
    </>
  )
}

function NoScoresYet({ scores }: { scores: BacktestScores }) {
  const t = useTranslate()
  return (
    <p className="prose">
      {t('scores.none')}{' '}
      {scores.withoutHistory > 0 && t('scores.noneWithoutData', { count: scores.withoutHistory })}
    </p>
  )
}

interface ScoredProps {
  page: BacktestPage
  scores: BacktestScores
  overall: Score
  isPooled: boolean
}

function Scored({ page: { asOf, since }, scores, overall, isPooled }: ScoredProps) {
  const t = useTranslate()
  const { computedAt, atDispatch, lanes, untried, withoutHistory } = scores
  return (
    <>
      <p className="prose">
        {rich(t, 'scores.about', {
          time: (
            <time dateTime={new Date(computedAt).toISOString()}>
              {formatLongInstant(t, computedAt, 'UTC', asOf)}
            </time>
          ),
          since: formatDay(t, since, 'UTC', asOf),
        })}{' '}
        {t('scores.count', {
          forecasts: overall.forecasts,
          consignments: overall.consignments,
          late: formatFinePercent(t, overall.late),
        })}{' '}
        {isPooled && t('scores.pooled')}
      </p>
      <h2>{t('scores.rules.heading')}</h2>
      <p className="prose">{formatOverallScore(t, overall)}</p>
      <RuleTable score={overall} caption={t('scores.rules.all')} />
      {atDispatch && (
        <div className={styles.next}>
          <RuleTable
            score={atDispatch}
            caption={t('scores.rules.first', {
              consignments: atDispatch.consignments,
              late: formatFinePercent(t, atDispatch.late),
            })}
          />
        </div>
      )}
      <h2>{t('scores.reliability.heading')}</h2>
      <p className="prose">{t('scores.reliability.about')}</p>
      <div className={styles.beside}>
        <ReliabilityPicture bins={overall.bins} />
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys. */}
        <section className={table.scroll} aria-label={t('scores.reliability.label')} tabIndex={0}>
          <ReliabilityTable bins={overall.bins} />
        </section>
      </div>
      {lanes.length > 0 && (
        <>
          <h2>{t('scores.lanes.heading')}</h2>
          <LaneScores lanes={lanes} />
        </>
      )}
      <h2>{t('scores.method.heading')}</h2>
      <p className="prose">{t('scores.method.text')}</p>
      {(untried.length > 0 || withoutHistory > 0) && (
        <>
          <p className="prose">{t('scores.unscored.heading')}</p>
          <ul className="prose">
            {untried.map(({ why, count }) => (
              <li key={why}>{t(UNTRIED[why], { count })}</li>
            ))}
            {withoutHistory > 0 && <li>{t('scores.unscored.noData', { count: withoutHistory })}</li>}
          </ul>
        </>
      )}
    </>
  )
}

const UNTRIED = {
  'never dispatched': 'scores.unscored.neverDispatched',
  'never started': 'scores.unscored.neverStarted',
  'stopped before the dispatch was known': 'scores.unscored.stoppedBefore',
  'due not a week past': 'scores.unscored.notPast',
  'rejected or cancelled': 'scores.unscored.rejected',
  'stop not reported': 'scores.unscored.stopNotReported',
} as const satisfies Record<BacktestScores['untried'][number]['why'], MessageKey>

function formatOverallScore(t: Translate, { brier: { mean, stdErr } }: Score): string {
  const score = formatBrierScore(t, mean)
  if (stdErr === null) return t('scores.rules.brier', { score })
  return t('scores.rules.brierError', { score, error: formatBrierScore(t, stdErr) })
}

function RuleTable({ score, caption }: { score: Score; caption: string }) {
  const t = useTranslate()
  return (
    <table className={`${table.table} ${table.stack} ${table.narrow}`}>
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{t('scores.rules.column.method')}</th>
          <th scope="col" className={table.number}>
            {t('scores.rules.column.score')}
          </th>
          <th scope="col">{t('scores.rules.column.nearer')}</th>
        </tr>
      </thead>
      <tbody>
        <tr>
          <th scope="row">{t('scores.rules.forecast')}</th>
          <td className={table.number} data-head={t('scores.rules.column.score')}>
            {formatBrierScore(t, score.brier.mean)}
          </td>
          <td />
        </tr>
        {score.rules.map((rule) => (
          <tr key={rule.rule}>
            <th scope="row">{formatPlainRule(t, rule.rule)}</th>
            <td className={table.number} data-head={t('scores.rules.column.score')}>
              {formatBrierScore(t, rule.score.mean)}
            </td>
            <td className={rule.nearer === 'other' ? table.lapsed : undefined}>
              {formatComparison(t, rule)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function ReliabilityTable({ bins }: { bins: Score['bins'] }) {
  const t = useTranslate()
  return (
    <table className={table.table}>
      <caption>{t('scores.reliability.caption')}</caption>
      <thead>
        <tr>
          <th scope="col">{t('scores.reliability.column.forecast')}</th>
          <th scope="col" className={table.number}>
            {t('scores.reliability.column.late')}
          </th>
          <th scope="col" className={table.number}>
            {t('scores.reliability.column.interval')}
          </th>
          <th scope="col" className={table.number}>
            {t('scores.reliability.column.forecasts')}
          </th>
          <th scope="col" className={table.number}>
            {t('scores.reliability.column.consignments')}
          </th>
        </tr>
      </thead>
      <tbody>
        {bins.map((bin) => (
          <tr key={bin.from}>
            <th scope="row">
              {formatFinePercent(t, bin.predicted)}
              {isMiscalibrated(bin) && (
                <span className={`${table.quiet} ${table.lapsed}`}>
                  {t(
                    bin.observed > bin.predicted
                      ? 'scores.reliability.moreLate'
                      : 'scores.reliability.fewerLate',
                  )}
                </span>
              )}
            </th>
            <td className={table.number}>{formatFinePercent(t, bin.observed)}</td>
            <td className={table.number}>
              {t('scores.reliability.interval', {
                low: formatFinePercent(t, bin.low),
                high: formatFinePercent(t, bin.high),
              })}
            </td>
            <td className={table.number}>{t.number(bin.forecasts)}</td>
            <td className={table.number}>{t.number(bin.consignments)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const SIZE = 400
const MARGIN = { left: 66, bottom: 44, top: 12, right: 24 }
/** A square root: most forecasts give little risk, and standings turn at 5 and 20 %. */
const across = scaleSqrt([0, 1], [MARGIN.left, SIZE - MARGIN.right])
const up = scaleSqrt([0, 1], [SIZE - MARGIN.bottom, MARGIN.top])
const TICKS = [0, 0.05, 0.2, 0.5, 1]

/** A reliability diagram: forecast chance across, share late upwards, each bin with its 90 % interval. */
function ReliabilityPicture({ bins }: { bins: Score['bins'] }) {
  const t = useTranslate()
  const most = Math.max(...bins.map(({ consignments }) => consignments))
  return (
    <svg
      className={styles.picture}
      viewBox={`0 0 ${SIZE} ${SIZE}`}
      role="img"
      aria-label={t('scores.reliability.picture')}
    >
      {TICKS.map((tick) => (
        <g key={tick}>
          <line className={styles.grid} x1={across(tick)} x2={across(tick)} y1={up(0)} y2={up(1)} />
          <line className={styles.grid} x1={across(0)} x2={across(1)} y1={up(tick)} y2={up(tick)} />
          <text className={styles.tick} x={across(tick)} y={up(0) + 16} textAnchor="middle">
            {formatFinePercent(t, tick)}
          </text>
          <text className={styles.tick} x={across(0) - 6} y={up(tick) + 4} textAnchor="end">
            {formatFinePercent(t, tick)}
          </text>
        </g>
      ))}
      <line className={styles.slope} x1={across(0)} y1={up(0)} x2={across(1)} y2={up(1)} />
      {bins.map((bin) => (
        <g key={bin.from} data-off={isMiscalibrated(bin)} className={styles.bin}>
          <line x1={across(bin.predicted)} x2={across(bin.predicted)} y1={up(bin.low)} y2={up(bin.high)} />
          <circle
            cx={across(bin.predicted)}
            cy={up(bin.observed)}
            r={2.5 + 5 * Math.sqrt(bin.consignments / most)}
          />
        </g>
      ))}
      <text className={styles.title} x={across(1)} y={SIZE - 6} textAnchor="end">
        {t('scores.reliability.axis.chance')}
      </text>
      <text className={styles.title} x={-up(1)} y={14} textAnchor="end" transform="rotate(-90)">
        {t('scores.reliability.axis.share')}
      </text>
    </svg>
  )
}

/** The mean chance forecast lies outside of the interval of the share that was late. */
function isMiscalibrated({ predicted, low, high }: Score['bins'][number]): boolean {
  return predicted < low || predicted > high
}
