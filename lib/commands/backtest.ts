import { stringify } from 'csv-stringify/sync'
import { deriveSamples } from '@/lib/custody/assess'
import { backdateHistory } from '@/lib/lane/backtest/backdateHistory'
import { backtestSync } from '@/lib/lane/backtest/backtest'
import { createPastForecaster } from '@/lib/lane/backtest/pastForecaster'
import type { PlainRule } from '@/lib/lane/backtest/plainRules'
import type { ReliabilityBin } from '@/lib/lane/backtest/reliability'
import { computeScoreboard, findBestRule, type Score } from '@/lib/lane/backtest/scoreboard'
import type { LaneId } from '@/lib/lane/model/stage'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import { buildJourney, computeKnownAt } from '@/lib/store/projection/buildJourney'
import { runFileCommand } from './fileCommand'
import { readInputs } from './fileInputs'

/**
 * Recomputes every forecast of a programme's past from what was known then, and scores it against the outcome and
 * against plain rules, from a register and a file of events, without a database. Writes CSV, or JSON lines with the
 * bins of the reliability diagram, to standard output. Rows: all forecasts, the first forecasts (at dispatch), then one
 * row per lane. A score is Brier's, 0 is best; a skill above 0 beats the rule. Standard error counts what is not
 * scored.
 * Exit 0; 1 on a conflict (no table); 2 if a file or an option cannot be used; 3 if lines were refused.
 */
const USAGE =
  'Usage: npm run -s backtest -- --register register.json --events events.ndjson|events.csv|events.json --now 2026-11-10T12:00:00Z [--json]'

/** Six decimals; further ones would be noise. */
const roundFigure = (value: number | null) => (value === null ? null : Number(value.toFixed(6)))
const toColumnName = (rule: PlainRule) => rule.replace(',', '').replaceAll(' ', '_')

runFileCommand(() => {
  const inputs = readInputs(USAGE)
  if (!inputs) return 1
  const { register, kits, events, now, json, hasRefused } = inputs
  const knownAt = computeKnownAt(events)
  const subjects = deriveSamples(events, kits, register, now).map((sample) => ({
    journey: backdateHistory(buildJourney(sample, knownAt)),
    limits: sample.clocks.map(({ limit }) => limit),
  }))
  const places = getLanePlaces(register)
  const journeys = subjects.map(({ journey }) => journey)
  const {
    forecasts,
    withoutHistory: withoutRecord,
    untried,
  } = backtestSync(subjects, places, now, createPastForecaster(journeys, places))
  const { overall, atDispatch, lanes } = computeScoreboard(forecasts)
  const rows = [
    ...(overall ? [toRow('all', null, overall)] : []),
    ...(atDispatch ? [toRow('at dispatch', null, atDispatch)] : []),
    ...lanes.map(({ lane, score }) => toRow('lane', lane, score)),
  ]
  if (rows.length === 0)
    console.error(
      'Nothing to score yet: no dispatch was due more than a week ago with earlier shipments to forecast from.',
    )
  for (const [why, count] of untried) console.error(`not scored: ${count} limits on samples, ${why}`)
  if (withoutRecord > 0) console.error(`not scored: ${withoutRecord} forecasts without earlier shipments`)
  process.stdout.write(
    json
      ? rows
          .map(({ score, ...row }) => `${JSON.stringify({ ...row, bins: score.bins.map(toBin) })}\n`)
          .join('')
      : stringify(
          rows.map(({ score: _, ...row }) => row),
          { header: true },
        ),
  )
  return hasRefused ? 3 : 0
})

/** Programs read these names, so they stay. */
function toBin({ from, to, predicted: said, observed: came, ...others }: ReliabilityBin) {
  return { from, to, said, came, ...others }
}

function toRow(of: 'all' | 'at dispatch' | 'lane', lane: LaneId | null, score: Score) {
  const best = findBestRule(score)
  return {
    of,
    plant: lane?.plant ?? null,
    laboratory: lane?.laboratory ?? null,
    service: lane?.service ?? null,
    forecasts: score.forecasts,
    consignments: score.consignments,
    late: roundFigure(score.late),
    brier: roundFigure(score.brier.mean),
    std_err: roundFigure(score.brier.stdErr),
    ...Object.fromEntries(
      score.rules.flatMap(({ rule, score: { mean }, skill }) => [
        [`brier_${toColumnName(rule)}`, roundFigure(mean)],
        [`skill_${toColumnName(rule)}`, roundFigure(skill)],
      ]),
    ),
    nearest: best.nearer === 'other' ? best.rule : 'forecast',
    beyond_chance: best.isBeyondChance ? 'yes' : 'no',
    score,
  }
}
