import { scaleSqrt } from 'd3-scale'
import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { formatDay, formatLongInstant } from '@/app/ui/words/instant'
import { spellCount } from '@/app/ui/words/number'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { BacktestPage, BacktestScores } from '@/lib/store/read/lanes/backtestPage'
import { LaneScores } from './LaneScores'
import styles from './ScoreReport.module.css'
import { formatBrierScore, formatComparison, formatFinePercent, formatPlainRule } from './scoreText'

/** How good the programme's forecasts have been, over all plants and, for who may know of them, lane by lane. */
export function ScoreReport({ page, isPooled }: { page: BacktestPage; isPooled: boolean }) {
  const { scores } = page
  return (
    <>
      <h1>How good the forecasts have been</h1>
      {scores === null && (
        <p className="prose">
          It is being worked out: every forecast of the last half year is made again with what was known then.
          This page looks again by itself every few seconds.
        </p>
      )}
      {scores?.isWithheld && (
        <p className="prose">
          Withheld: fewer than three makers stand behind the forecasts of the last half year.
        </p>
      )}
      {scores && !scores.isWithheld && scores.overall === null && <NoScoresYet scores={scores} />}
      {scores?.overall && <Scored page={page} scores={scores} overall={scores.overall} isPooled={isPooled} />}
    </>
  )
}

function NoScoresYet({ scores }: { scores: BacktestScores }) {
  const t = useTranslate()
  return (
    <p className="prose">
      Nothing can be scored yet. A forecast is scored once the due of its limit is a week past, so that late
      reports have come, and if there was a record to forecast from when it was made.
      {scores.withoutHistory > 0 &&
        ` So far there was none for ${spellCount(t, scores.withoutHistory, 'forecast')} that could have been made.`}
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
        As of{' '}
        <time dateTime={new Date(computedAt).toISOString()}>
          {formatLongInstant(t, computedAt, 'UTC', asOf)}
        </time>
        , over all plants. Each forecast since {formatDay(t, since, 'UTC', asOf)} was made again with no more
        than was known then: once when a dispatch was heard of, and at noon of each open day of the laboratory
        after it for as long as the clock ran. That makes {spellCount(t, overall.forecasts, 'forecast')} of{' '}
        {spellCount(t, overall.consignments, 'consignment')}; {formatFinePercent(t, overall.late)} were of
        something that came late or never.
        {isPooled &&
          ' A figure stands here only where three makers or more stand behind it; plants that name no maker count as one.'}
      </p>
      <h2>Against plain rules</h2>
      <p className="prose">
        The Brier score is the mean squared distance of the chance that was said from what came: 0 is perfect,
        and saying 50 % each time gives 0.25. The forecast has {formatBrierScore(t, overall.brier.mean)}
        {overall.brier.stdErr !== null && <> ± {formatBrierScore(t, overall.brier.stdErr)}</>}.
      </p>
      <RuleTable score={overall} caption="On all forecasts" />
      {atDispatch && (
        <div className={styles.next}>
          <RuleTable
            score={atDispatch}
            caption={`On the first forecast of each alone, when its dispatch was heard of: ${spellCount(t, atDispatch.consignments, 'consignment')}, ${formatFinePercent(t, atDispatch.late)} late`}
          />
        </div>
      )}
      <h2>What was said, and what came</h2>
      <p className="prose">
        Of what was said to be late with a chance of 20 %, one in five should have been. A mark on the dotted
        line has come so; its bar says within what the share may lie, by as many as there are. Hollow marks
        are off.
      </p>
      <div className={styles.beside}>
        <ReliabilityPicture bins={overall.bins} />
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keys. */}
        <section className={table.scroll} aria-label="The picture in figures" tabIndex={0}>
          <ReliabilityTable bins={overall.bins} />
        </section>
      </div>
      {lanes.length > 0 && (
        <>
          <h2>Lane by lane</h2>
          <LaneScores lanes={lanes} />
        </>
      )}
      <h2>How it is counted</h2>
      <p className="prose">
        Samples of one consignment share one vote at each moment. What left on one lane in one week may have
        been held up together, so it counts as one witness in every ±, interval and “beyond chance”, which
        means by more than two standard errors. The record is fitted anew each Monday. A plain rule learns of
        an outcome at its due, whether it had been reported or not, and asks a wider group where its own has
        no past. What was extended is judged by its first due, what was lost or sent back is late, and what
        was cancelled is left out. What came to us more than a week after it happened is taken for history
        entered later, and as known when it happened.
      </p>
      {(untried.length > 0 || withoutHistory > 0) && (
        <>
          <p className="prose">Not scored, in limits on samples:</p>
          <ul className="prose">
            {untried.map(({ why, count }) => (
              <li key={why}>
                {count.toLocaleString('en-GB')}: {why}
              </li>
            ))}
            {withoutHistory > 0 && (
              <li>{spellCount(t, withoutHistory, 'forecast')} for which there was no record yet</li>
            )}
          </ul>
        </>
      )}
    </>
  )
}

/** A score beside those of the plain rules, on the same forecasts. */
function RuleTable({ score, caption }: { score: Score; caption: string }) {
  const t = useTranslate()
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
            {formatBrierScore(t, score.brier.mean)}
          </td>
          <td />
        </tr>
        {score.rules.map((rule) => (
          <tr key={rule.rule}>
            <th scope="row">{capitalised(formatPlainRule(t, rule.rule))}</th>
            <td className={table.number} data-head="Brier score">
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

/** The reliability picture in figures. */
function ReliabilityTable({ bins }: { bins: Score['bins'] }) {
  const t = useTranslate()
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
              {formatFinePercent(t, bin.predicted)}
              {isMiscalibrated(bin) && (
                <span className={`${table.quiet} ${table.lapsed}`}>
                  {bin.observed > bin.predicted
                    ? 'more came late than was said'
                    : 'fewer came late than was said'}
                </span>
              )}
            </th>
            <td className={table.number}>{formatFinePercent(t, bin.observed)}</td>
            <td className={table.number}>
              {formatFinePercent(t, bin.low)} to {formatFinePercent(t, bin.high)}
            </td>
            <td className={table.number}>{bin.forecasts.toLocaleString('en-GB')}</td>
            <td className={table.number}>{bin.consignments.toLocaleString('en-GB')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const SIZE = 400
const MARGIN = { left: 66, bottom: 44, top: 12, right: 24 }
/** A root scale: most forecasts say little risk, and 5 and 20 % are where standings turn. */
const across = scaleSqrt([0, 1], [MARGIN.left, SIZE - MARGIN.right])
const up = scaleSqrt([0, 1], [SIZE - MARGIN.bottom, MARGIN.top])
const TICKS = [0, 0.05, 0.2, 0.5, 1]

/** What was said, across, against what came, upwards, each bin with its 90 % interval. On the slope both are the same. */
function ReliabilityPicture({ bins }: { bins: Score['bins'] }) {
  const t = useTranslate()
  const most = Math.max(...bins.map(({ consignments }) => consignments))
  return (
    <svg
      className={styles.picture}
      viewBox={`0 0 ${SIZE} ${SIZE}`}
      role="img"
      aria-label="What was said against what came; the table says the same"
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
        chance said of being late
      </text>
      <text className={styles.title} x={-up(1)} y={14} textAnchor="end" transform="rotate(-90)">
        share that was late
      </text>
    </svg>
  )
}

/** Whether what was said lies outside of what the share that came may be. */
function isMiscalibrated({ predicted, low, high }: Score['bins'][number]): boolean {
  return predicted < low || predicted > high
}
