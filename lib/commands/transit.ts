import { parseArgs } from 'node:util'
import { stringify } from 'csv-stringify/sync'
import { readCsvRows } from '@/lib/intake/formats/csvRows'
import { fitHazards } from '@/lib/lane/model/fit'
import { MAX_STEP, type Observation } from '@/lib/lane/model/observation'
import type { CurveStep } from '@/lib/lane/model/survivalCurve'
import { english } from '@/lib/messages/english'
import { InputError, readTextFile, runFileCommand } from './fileCommand'

/**
 * Estimates the survival curve of a file of shipments, without a database. Writes CSV to standard output, a row per
 * distinct step. Exit 0; 1 if records are invalid or missing (no table); 2 if the file or an option cannot be used.
 */
const USAGE = 'Usage: npm run -s transit -- --records records.csv [--prior 0]'

interface Options {
  records: string
  /** Weight of the pull to one constant hazard, in shipments; fitted if absent. */
  weights?: number
}

function readOptions(): Options {
  try {
    const { values } = parseArgs({ options: { records: { type: 'string' }, prior: { type: 'string' } } })
    if (!values.records)
      throw new Error('--records is required: a CSV file with the columns steps and arrived.')
    if (values.prior === undefined) return { records: values.records }
    const weights = Number(values.prior)
    if (values.prior.trim() === '' || !Number.isFinite(weights) || weights < 0)
      throw new Error(
        `--prior: "${values.prior}" is not a weight. Write a number of shipments, 0 or more, or leave it out to have it fitted.`,
      )
    return { records: values.records, weights }
  } catch (error) {
    throw new InputError(`${(error as Error).message}\n${USAGE}`)
  }
}

interface ParsedRecords {
  observations: Observation[]
  faults: string[]
}

function readRecords(path: string): ParsedRecords {
  const [head, ...rows] = readCsvRows(readTextFile(path).replace(/^\uFEFF/, ''))
  const names = (head?.cells ?? []).map((name) => name.trim().toLowerCase())
  const [stepsAt, arrivedAt] = [names.indexOf('steps'), names.indexOf('arrived')]
  if (stepsAt < 0 || arrivedAt < 0)
    throw new InputError(`${path} needs a header that names the columns steps and arrived.`)
  const reading: ParsedRecords = { observations: [], faults: [] }
  for (const { line, cells, fault } of rows) {
    const steps = (cells[stepsAt] ?? '').trim()
    const arrived = (cells[arrivedAt] ?? '').trim()
    const wrong = fault === null ? findFault(steps, arrived) : english.message(fault)
    if (wrong) reading.faults.push(`line ${line}: ${wrong}`)
    else
      reading.observations.push({
        levels: [],
        startedAt: 0,
        steps: Number(steps),
        hasArrived: arrived === '1',
        weight: 1,
      })
  }
  return reading
}

function findFault(steps: string, arrived: string): string | null {
  if (!/^\d+$/.test(steps) || Number(steps) > MAX_STEP)
    return `steps is "${steps}". Write a whole number from 0 to ${MAX_STEP}.`
  if (arrived !== '0' && arrived !== '1')
    return `arrived is "${arrived}". Write 1 for arrived, 0 for still under way.`
  return null
}

/** Every requested step occurs in the records, and so in the curve. */
function toRows(curve: CurveStep[], observations: readonly Observation[]) {
  const steps = [...new Set(observations.map(({ steps }) => steps))].sort((a, b) => a - b)
  return steps.map((step) => {
    const { atRisk, arrived, hazard, notYet, stdErr } = curve[step] as CurveStep
    return { step, at_risk: atRisk, arrived, hazard, not_yet: notYet, std_err: stdErr }
  })
}

function main(): number {
  const { records, weights } = readOptions()
  const { observations, faults } = readRecords(records)
  for (const fault of faults) console.error(`${records}, ${fault}`)
  if (faults.length > 0) {
    console.error('No table: correct or remove these lines.')
    return 1
  }
  if (observations.length === 0) {
    console.error(`No table: ${records} has no records below its header.`)
    return 1
  }
  const fit = fitHazards(observations, {
    referenceAt: 0,
    halfLifeDays: null,
    presumedLostSteps: Number.POSITIVE_INFINITY,
    ...(weights === undefined ? {} : { weights }),
  })
  process.stdout.write(stringify(toRows(fit.curve([]), observations), { header: true }))
  return 0
}

runFileCommand(main)
