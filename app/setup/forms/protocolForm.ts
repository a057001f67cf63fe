import { limit as limitSchema } from '@/lib/custody/registerDocument'
import type { Limit } from '@/lib/hold/limit'
import { COUNTING_CHOICES, formatCountingChoice } from '@/lib/hold/units'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { emptyToUndefined, type FieldProblem, type FormValues } from './formValues'

/** Limits that one form has room for. */
export const MAX_LIMITS = 8

export const LIMIT_FIELDS = ['limit', 'from', 'to', 'amount', 'counted', 'citation'] as const

/** A protocol as its form has it: chances in per cent, the fields of the first limit numbered 1, and so on. */
export function toProtocolValues(protocol: ProtocolInput): FormValues {
  const { code, name, limits, tight, atRisk } = protocol
  const values: FormValues = { code, name, tight: formatPercent(tight), atRisk: formatPercent(atRisk) }
  limits.forEach((limit, index) => {
    for (const [field, value] of Object.entries(toLimitValues(limit))) values[`${field}${index + 1}`] = value
  })
  return values
}

interface ProtocolInput {
  code: string
  name: string
  limits: readonly Limit[]
  tight?: number | undefined
  atRisk?: number | undefined
}

/** One limit as its row of fields. */
function toLimitValues(limit: Limit): Record<(typeof LIMIT_FIELDS)[number], string> {
  const { name, from, to, amount, citation = '' } = limit
  return { limit: name, from, to, amount: String(amount), counted: formatCountingChoice(limit), citation }
}

export function parseProtocol(values: FormValues): { content: EntryContent; problems: FieldProblem[] } {
  const problems: FieldProblem[] = []
  const chance = (field: 'tight' | 'atRisk') => {
    const text = emptyToUndefined(values[field])
    if (text === undefined) return undefined
    const number = Number(text.replace('%', ''))
    if (number > 0 && number <= 100) return number / 100
    problems.push({ field, detail: 'Write a chance in per cent, above 0 and up to 100, or nothing.' })
    return undefined
  }
  const [tight, atRisk] = [chance('tight'), chance('atRisk')]
  const limits: EntryContent[] = []
  for (let row = 1; row <= MAX_LIMITS; row += 1) {
    const limit = parseLimitRow(values, row, problems)
    if (limit) limits.push(limit)
  }
  if (limits.length === 0)
    problems.push({ field: 'limit1', detail: 'A protocol has at least one hold limit; fill in a row.' })
  const { code, name } = values
  return { content: { code, name, limits, tight, atRisk }, problems }
}

/** The limit in a row of fields; null where its name and its amount are empty. */
function parseLimitRow(values: FormValues, row: number, problems: FieldProblem[]): EntryContent | null {
  const of = (field: (typeof LIMIT_FIELDS)[number]) => values[`${field}${row}`] ?? ''
  if (of('limit') === '' && of('amount') === '') return null
  const problem = (field: (typeof LIMIT_FIELDS)[number], detail: string) =>
    problems.push({ field: `${field}${row}`, detail })
  if (of('limit') === '') problem('limit', 'Give the limit a name, such as "cut to chamber".')
  if (!/^\d+$/.test(of('amount'))) problem('amount', 'Write a whole number, such as 10.')
  const counted = COUNTING_CHOICES.get(of('counted'))
  if (!counted) problem('counted', `Choose how it is counted: ${[...COUNTING_CHOICES.keys()].join(', ')}.`)
  return {
    name: of('limit'),
    from: of('from'),
    to: of('to'),
    // What is no number stays the text that it is, and the register says so.
    amount: /^\d+$/.test(of('amount')) ? Number(of('amount')) : of('amount'),
    ...counted,
    citation: emptyToUndefined(of('citation')),
  }
}

function formatPercent(share: number | undefined): string {
  return share === undefined ? '' : String(Math.round(share * 10_000) / 100)
}

/** The limits of a form that the register would take, with the row that each stands in. */
export function readValidLimits(values: FormValues): { row: number; limit: Limit }[] {
  return Array.from({ length: MAX_LIMITS }, (_, index) => index + 1).flatMap((row) => {
    const read = limitSchema.safeParse(parseLimitRow(values, row, []))
    return read.success ? [{ row, limit: read.data }] : []
  })
}
