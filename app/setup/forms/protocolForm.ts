import type { ConditionRules } from '@/lib/custody/condition'
import { limit as limitSchema } from '@/lib/custody/registerDocument'
import type { Limit } from '@/lib/hold/limit'
import { COUNTING_CHOICES, formatCountingChoice } from '@/lib/hold/units'
import { type Message, message } from '@/lib/messages/message'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { parseConditionRules, toConditionRuleValues } from './conditionRulesForm'
import { emptyToUndefined, type FieldProblem, type FormValues } from './formValues'

/** Rows of limits in the form. */
export const MAX_LIMITS = 8

export const LIMIT_FIELDS = [
  'limit',
  'from',
  'to',
  'amount',
  'atLeast',
  'counted',
  'extendable',
  'citation',
] as const

/** What stands under `extendable` if a limit is not; anything else but "yes" or nothing is refused. */
export const NOT_EXTENDABLE = 'no'

/** Fills the form: chances in per cent, and the fields of each limit numbered from 1. */
export function toProtocolValues(protocol: ProtocolInput): FormValues {
  const { code, name, limits, tight, atRisk, condition = {} } = protocol
  const values: FormValues = {
    code,
    name,
    tight: formatPercent(tight),
    atRisk: formatPercent(atRisk),
    ...toConditionRuleValues(condition),
  }
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
  condition?: ConditionRules | undefined
}

function toLimitValues(limit: Limit): Record<(typeof LIMIT_FIELDS)[number], string> {
  const { name, from, to, amount, atLeast, extendable, citation = '' } = limit
  return {
    limit: name,
    from,
    to,
    amount: String(amount),
    atLeast: atLeast === undefined ? '' : String(atLeast),
    counted: formatCountingChoice(limit),
    extendable: extendable === false ? NOT_EXTENDABLE : '',
    citation,
  }
}

export function parseProtocol(values: FormValues): { content: EntryContent; problems: FieldProblem[] } {
  const problems: FieldProblem[] = []
  const chance = (field: 'tight' | 'atRisk') => {
    const text = emptyToUndefined(values[field])
    if (text === undefined) return undefined
    const number = Number(text.replace('%', ''))
    if (number > 0 && number <= 100) return number / 100
    problems.push({ field, detail: message('setup.fault.chance') })
    return undefined
  }
  const [tight, atRisk] = [chance('tight'), chance('atRisk')]
  const condition = parseConditionRules(values, problems)
  const limits: EntryContent[] = []
  for (let row = 1; row <= MAX_LIMITS; row += 1) {
    const limit = parseLimitRow(values, row, problems)
    if (limit) limits.push(limit)
  }
  if (limits.length === 0) problems.push({ field: 'limit1', detail: message('setup.fault.noLimit') })
  const { code, name } = values
  return { content: { code, name, limits, tight, atRisk, condition }, problems }
}

/** Reads one row of fields; null if its name and its amount are empty. */
function parseLimitRow(values: FormValues, row: number, problems: FieldProblem[]): EntryContent | null {
  const get = (field: (typeof LIMIT_FIELDS)[number]) => values[`${field}${row}`] ?? ''
  if (get('limit') === '' && get('amount') === '') return null
  const problem = (field: (typeof LIMIT_FIELDS)[number], detail: Message) =>
    problems.push({ field: `${field}${row}`, detail })
  if (get('limit') === '') problem('limit', message('setup.fault.limitName'))
  // Text that is not a number is kept for the register to refuse.
  const number = (text: string) => (/^\d+$/.test(text) ? Number(text) : text)
  if (!/^\d+$/.test(get('amount'))) problem('amount', message('setup.fault.limitAmount'))
  if (!/^\d*$/.test(get('atLeast'))) problem('atLeast', message('setup.fault.limitAtLeast'))
  if (!['', 'yes', NOT_EXTENDABLE].includes(get('extendable')))
    problem('extendable', message('setup.fault.limitExtendable'))
  const counted = COUNTING_CHOICES.get(get('counted'))
  if (!counted)
    problem(
      'counted',
      message('setup.fault.limitCounted', { choices: [...COUNTING_CHOICES.keys()].join(', ') }),
    )
  return {
    name: get('limit'),
    from: get('from'),
    to: get('to'),
    amount: number(get('amount')),
    ...(get('atLeast') !== '' && { atLeast: number(get('atLeast')) }),
    ...counted,
    ...(get('extendable') === NOT_EXTENDABLE && { extendable: false }),
    citation: emptyToUndefined(get('citation')),
  }
}

function formatPercent(share: number | undefined): string {
  return share === undefined ? '' : String(Math.round(share * 10_000) / 100)
}

/** The limits that the register would accept, each with its row from 1. */
export function readValidLimits(values: FormValues): { row: number; limit: Limit }[] {
  return Array.from({ length: MAX_LIMITS }, (_, index) => index + 1).flatMap((row) => {
    const read = limitSchema.safeParse(parseLimitRow(values, row, []))
    return read.success ? [{ row, limit: read.data }] : []
  })
}
