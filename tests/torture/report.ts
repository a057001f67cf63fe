import { FAULTS, type Fault } from './judge'
import type { Outcome } from './torture'

/** The outcomes as a table, a row for each torment, and what its columns mean. */
export function formatOutcomes(outcomes: readonly Outcome[]): string {
  const faults = Object.keys(FAULTS) as Fault[]
  const head = ['torment', 'rounds', 'seconds', 'sent', 'acknowledged', ...faults]
  const rows = outcomes.map((one) =>
    one.isSkipped
      ? [one.name, 'skipped']
      : [
          one.name,
          one.rounds,
          Math.round(one.seconds),
          one.sent,
          one.acknowledged,
          ...faults.map((fault) => one.counts[fault]),
        ].map(String),
  )
  const widths = head.map((title, column) =>
    Math.max(title.length, ...rows.map((row) => row[column]?.length ?? 0)),
  )
  const line = (cells: string[]) =>
    cells
      .map((cell, column) =>
        column === 0 ? cell.padEnd(widths[column] ?? 0) : cell.padStart(widths[column] ?? 0),
      )
      .join('  ')
      .trimEnd()
  return [
    line(head),
    ...rows.map(line),
    '',
    ...outcomes.map(({ name, did, isSkipped }) => `${name}: ${isSkipped ? 'skipped. ' : ''}${did}`),
    '',
    ...faults.map((fault) => `${fault}: ${FAULTS[fault]}`),
  ].join('\n')
}
