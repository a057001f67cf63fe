import { withEngine } from './benchServer'
import { benchBoards } from './boards'
import { benchClocks } from './clocks'
import type { Comparison } from './compare'
import { benchIntake } from './intake'
import { benchSecrecy } from './secrecy'

/**
 * `npm run bench`: each thing timed beside the plainest thing that does the same, in turn in one run, so that what is
 * printed is a ratio. `-- --json` prints JSON. `-- clocks`, `intake`, `board` or `secrecy` runs one part.
 */
const parts = process.argv.slice(2).filter((word) => word !== '--json')
const asJson = process.argv.includes('--json')
const wants = (part: string) => parts.length === 0 || parts.includes(part)

const comparisons: Comparison[] = []
const add = (more: Comparison[]) => {
  comparisons.push(...more)
  if (!asJson) for (const comparison of more) console.log(lineOf(comparison))
}

function lineOf({
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

if (wants('clocks')) add(await benchClocks())
if (wants('intake') || wants('board') || wants('secrecy'))
  await withEngine(async (engine) => {
    if (wants('intake')) add(await benchIntake(engine))
    if (wants('board')) add(await benchBoards(engine))
    if (wants('secrecy')) add(await benchSecrecy(engine))
  })
if (asJson) console.log(JSON.stringify(comparisons, null, 2))
