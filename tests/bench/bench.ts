import { withEngine } from './benchServer'
import { benchBoards } from './boards'
import { benchClocks } from './clocks'
import type { Comparison } from './compare'
import { benchDigest } from './digest'
import { benchDue } from './due'
import { benchFitting } from './fitting'
import { benchIntake } from './intake'
import { benchScoring } from './scoring'
import { benchSecrecy } from './secrecy'
import { benchSecrecyOverHttp } from './secrecyOverHttp'
import { benchSignIn } from './signIn'
import type { TimingDifference } from './timingDifference'

/**
 * `npm run bench`: times each subject against the plainest code that does the same, alternating within one run, and
 * prints the ratio; and times pairs of requests that must not be distinguishable. `-- --json` prints JSON. `-- clocks`,
 * `fitting`, `scoring`, `intake`, `board`, `due`, `digest`, `secrecy` or `sign-in` runs one part.
 */
const parts = process.argv.slice(2).filter((word) => word !== '--json')
const isJson = process.argv.includes('--json')
const isWanted = (part: string) => parts.length === 0 || parts.includes(part)

const found: (Comparison | TimingDifference)[] = []
const add = (more: (Comparison | TimingDifference)[]) => {
  found.push(...more)
  if (!isJson)
    for (const one of more) console.log('sides' in one ? formatDifference(one) : formatComparison(one))
}

function formatDifference({
  name,
  sides,
  count,
  medianMs,
  isMet,
  aim,
  ...percent
}: TimingDifference): string {
  const one = (value: number) => value.toFixed(1)
  const medians = sides.map((side, index) => `${side}: ${medianMs[index as 0 | 1].toFixed(3)} ms`)
  return [
    `${name}: medians ${one(percent.percent)} % apart (${one(percent.lowestPercent)} to ${one(percent.highestPercent)})`,
    `  ${medians.join('; ')}; ${count} of each`,
    `  aim: ${aim}${isMet ? ', met' : ', NOT met'}`,
  ].join('\n')
}

function formatComparison({
  name,
  subject,
  plainest,
  subjectMs,
  plainestMs,
  ratio,
  lowestRatio,
  highestRatio,
  aim,
  isMet,
}: Comparison): string {
  const two = (value: number) => (value >= 100 ? value.toFixed(0) : value.toPrecision(3))
  const verdict = isMet === null ? '' : isMet ? ', met' : ', NOT met'
  return [
    `${name}: ${two(ratio)} times as fast per unit (${two(lowestRatio)} to ${two(highestRatio)})`,
    `  ${subject}: ${two(subjectMs)} ms per 1,000; ${plainest}: ${two(plainestMs)} ms per 1,000`,
    `  aim: ${aim}${verdict}`,
  ].join('\n')
}

if (isWanted('clocks')) add(await benchClocks())
if (isWanted('fitting')) add(benchFitting())
if (isWanted('scoring')) add(benchScoring())
if (['intake', 'board', 'due', 'secrecy', 'sign-in', 'digest'].some(isWanted))
  await withEngine(async (engine) => {
    if (isWanted('intake')) add(await benchIntake(engine))
    if (isWanted('board')) add(await benchBoards(engine))
    if (isWanted('due')) add(await benchDue(engine))
    if (isWanted('digest')) add(await benchDigest(engine))
    if (isWanted('secrecy')) {
      add(await benchSecrecy(engine))
      for await (const one of benchSecrecyOverHttp(engine)) add([one])
    }
    if (isWanted('sign-in')) for await (const one of benchSignIn(engine)) add([one])
  })
if (isJson) console.log(JSON.stringify(found, null, 2))
