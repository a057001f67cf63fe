import table from '@/app/ui/Table.module.css'
import { dayWords, headingInstant } from '@/app/ui/words/instantWords'
import { countOf } from '@/app/ui/words/numberWords'
import type { Score } from '@/lib/lane/backtest/scoreboard'
import type { BacktestPage, BacktestScores } from '@/lib/store/read/lanes/backtestPage'
import { LaneScores } from './LaneScores'
import { ReliabilityPicture } from './ReliabilityPicture'
import { ReliabilityTable } from './ReliabilityTable'
import { RuleTable } from './RuleTable'
import styles from './ScoreReport.module.css'
import { percentWords, scoreFigure } from './scoreWords'

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
      {scores && !scores.isWithheld && scores.overall === null && <NothingYet scores={scores} />}
      {scores?.overall && <Scored page={page} scores={scores} overall={scores.overall} isPooled={isPooled} />}
    </>
  )
}

function NothingYet({ scores }: { scores: BacktestScores }) {
  return (
    <p className="prose">
      Nothing can be scored yet. A forecast is scored once the due of its limit is a week past, so that late
      reports have come, and if there was a record to forecast from when it was made.
      {scores.withoutRecord > 0 &&
        ` So far there was none for ${countOf(scores.withoutRecord, 'forecast')} that could have been made.`}
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
  const { workedOutAt, atDispatch, lanes, untried, withoutRecord } = scores
  return (
    <>
      <p className="prose">
        As of{' '}
        <time dateTime={new Date(workedOutAt).toISOString()}>{headingInstant(workedOutAt, 'UTC', asOf)}</time>
        , over all plants. Each forecast since {dayWords(since, 'UTC', asOf)} was made again with no more than
        was known then: once when a dispatch was heard of, and at noon of each open day of the laboratory
        after it for as long as the clock ran. That makes {countOf(overall.forecasts, 'forecast')} of{' '}
        {countOf(overall.consignments, 'consignment')}; {percentWords(overall.late)} were of something that
        came late or never.
        {isPooled &&
          ' A figure stands here only where three makers or more stand behind it; plants that name no maker count as one.'}
      </p>
      <h2>Against plain rules</h2>
      <p className="prose">
        The Brier score is the mean squared distance of the chance that was said from what came: 0 is perfect,
        and saying 50 % each time gives 0.25. The forecast has {scoreFigure(overall.brier.mean)}
        {overall.brier.stdErr !== null && <> ± {scoreFigure(overall.brier.stdErr)}</>}.
      </p>
      <RuleTable score={overall} caption="On all forecasts" />
      {atDispatch && (
        <div className={styles.next}>
          <RuleTable
            score={atDispatch}
            caption={`On the first forecast of each alone, when its dispatch was heard of: ${countOf(atDispatch.consignments, 'consignment')}, ${percentWords(atDispatch.late)} late`}
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
      {(untried.length > 0 || withoutRecord > 0) && (
        <>
          <p className="prose">Not scored, in limits on samples:</p>
          <ul className="prose">
            {untried.map(({ why, count }) => (
              <li key={why}>
                {count.toLocaleString('en-GB')}: {why}
              </li>
            ))}
            {withoutRecord > 0 && (
              <li>{countOf(withoutRecord, 'forecast')} for which there was no record yet</li>
            )}
          </ul>
        </>
      )}
    </>
  )
}
