import { limit as limitSchema } from '@/lib/custody/registerDocument'
import type { Limit } from '@/lib/hold/limit'
import { CHOICES, formatChoice } from '@/lib/hold/units'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { type FieldProblem, type FormValues, optional } from './formValues'

/** Limits that one form has room for. */
export const LIMIT_ROWS = 8

export const LIMIT_FIELDS = ['limit', 'from', 'to', 'amount', 'counted', 'citation'] as const

/** A protocol as its form has it: chances in per cent, the fields of the first limit numbered 1, and so on. */
export function protocolValues(protocol: ProtocolOfForm): FormValues {
  const { code, name, limits, tight, atRisk } = protocol
  const values: FormValues = { code, name, tight: percent(tight), atRisk: percent(atRisk) }
  limits.forEach((limit, index) => {
    for (const [field, value] of Object.entries(limitValues(limit))) values[`${field}${index + 1}`] = value
  })
  return values
}

interface ProtocolOfForm {
  code: string
  name: string
  limits: readonly Limit[]
  tight?: number | undefined
  atRisk?: number | undefined
}

/** One limit as its row of fields. */
function limitValues(limit: Limit): Record<(typeof LIMIT_FIELDS)[number], string> {
  const { name, from, to, amount, citation = '' } = limit
  return { limit: name, from, to, amount: String(amount), counted: formatChoice(limit), citation }
}

export function protocolContent(values: FormValues): { content: EntryContent; problems: FieldProblem[] } {
  const problems: FieldProblem[] = []
  const chance = (field: 'tight' | 'atRisk') => {
    const text = optional(values[field])
    if (text === undefined) return undefined
    const number = Number(text.replace('%', ''))
    if (number > 0 && number <= 100) return number / 100
    problems.push({ field, detail: 'Write a chance in per cent, above 0 and up to 100, or nothing.' })
    return undefined
  }
  const [tight, atRisk] = [chance('tight'), chance('atRisk')]
  const limits: EntryContent[] = []
  for (let row = 1; row <= LIMIT_ROWS; row += 1) {
    const limit = limitContent(values, row, problems)
    if (limit) limits.push(limit)
  }
  if (limits.length === 0)
    problems.push({ field: 'limit1', detail: 'A protocol has at least one hold limit; fill in a row.' })
  const { code, name } = values
  return { content: { code, name, limits, tight, atRisk }, problems }
}

/** The limit in a row of fields; null where its name and its amount are empty. */
function limitContent(values: FormValues, row: number, problems: FieldProblem[]): EntryContent | null {
  const of = (field: (typeof LIMIT_FIELDS)[number]) => values[`${field}${row}`] ?? ''
  if (of('limit') === '' && of('amount') === '') return null
  const problem = (field: (typeof LIMIT_FIELDS)[number], detail: string) =>
    problems.push({ field: `${field}${row}`, detail })
  if (of('limit') === '') problem('limit', 'Give the limit a name, such as "cut to chamber".')
  if (!/^\d+$/.test(of('amount'))) problem('amount', 'Write a whole number, such as 10.')
  const counted = CHOICES.get(of('counted'))
  if (!counted) problem('counted', `Choose how it is counted: ${[...CHOICES.keys()].join(', ')}.`)
  return {
    name: of('limit'),
    from: of('from'),
    to: of('to'),
    // What is no number stays the text that it is, and the register says so.
    amount: /^\d+$/.test(of('amount')) ? Number(of('amount')) : of('amount'),
    ...counted,
    citation: optional(of('citation')),
  }
}

function percent(share: number | undefined): string {
  return share === undefined ? '' : String(Math.round(share * 10_000) / 100)
}

/** The limits of a form that the register would take, with the row that each stands in. */
export function limitsIn(values: FormValues): { row: number; limit: Limit }[] {
  return Array.from({ length: LIMIT_ROWS }, (_, index) => index + 1).flatMap((row) => {
    const read = limitSchema.safeParse(limitContent(values, row, []))
    return read.success ? [{ row, limit: read.data }] : []
  })
}
