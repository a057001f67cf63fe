import { FIELD_LABELS, isLabelled } from '@/app/ui/EventFields'
import {
  CONDITION,
  CONDITION_PARTS,
  type Condition,
  type ConditionOption,
  type Fault,
  readCondition,
} from '@/lib/custody/condition'
import { type CustodyEvent, type EventKind, eventKey } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { type Finding, RULING_LABELS, RULINGS } from '@/lib/custody/finding'
import { splitFaultKey } from '@/lib/custody/findingKey'
import type { PlainMessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

/** Facts with a meaning for which no form asks. */
const WIRE_FACTS: Partial<Record<EventKind, Record<string, PlainMessageKey>>> = {
  extended: { until: 'samples.event.fact.until', approvedBy: 'samples.event.fact.approvedBy' },
  held: { until: 'samples.event.fact.until' },
  reported: { outcome: 'samples.event.fact.outcome', reportNumber: 'samples.event.fact.reportNumber' },
}

/** The facts of receipts in which the seal and the temperature once stood. */
const EARLIER_PARTS = new Map<string, keyof Condition>([
  ['seal intact', 'seal'],
  ['temperature', 'temperature'],
])

/** What the keys in facts can name. */
export interface NamedInFacts {
  events: readonly CustodyEvent[]
  findings: readonly Finding[]
}

/**
 * Facts, a short text each: "Note: a dent". Those with a meaning have its words, others stay as sent. The condition of a receipt
 * is told part by part, and what a ruling is on by what was found.
 */
export function formatFacts(
  t: Translate,
  { kind, facts }: Pick<CustodyEvent, 'kind' | 'facts'>,
  named: NamedInFacts = { events: [], findings: [] },
): string[] {
  const labels = new Map(Object.entries(WIRE_FACTS[kind] ?? {}))
  const asks = (name: string) => KINDS[kind].fields.some((field) => field === name)
  return Object.entries(facts ?? {}).flatMap(([name, value]) => {
    if (kind === 'received' && (name === 'condition' || EARLIER_PARTS.has(name)))
      return formatConditionFact(t, name, value)
    const label = labels.get(name) ?? (asks(name) && isLabelled(name) ? FIELD_LABELS[name] : null)
    return [formatFact(t, label ? t(label) : name, formatValue(t, { kind, name, value }, named))]
  })
}

function formatValue(
  t: Translate,
  { kind, name, value }: { kind: EventKind; name: string; value: unknown },
  named: NamedInFacts,
): string {
  if (kind === 'ruling' && name === 'on')
    return t.list([value].flat().map((key) => formatNamed(t, key, named) ?? formatAnything(t, key)))
  const ruling = kind === 'ruling' && name === 'ruling' && RULINGS.find((one) => one === value)
  return ruling ? t(RULING_LABELS[ruling]) : formatAnything(t, value)
}

/** What was found, or what happened, under a key; null if nothing here has it. */
function formatNamed(t: Translate, key: unknown, { events, findings }: NamedInFacts): string | null {
  if (typeof key !== 'string') return null
  const found = findings.find(({ keys }) => keys.includes(key))
  if (found) return t.message(found.what)
  const event = events.find((one) => eventKey(one) === key)
  return event ? t(KINDS[event.kind].label) : formatFault(t, key, events)
}

/** What a receipt tells of the part that a key names as faulty: "Seal: broken"; null if the receipt is not here. */
export function formatFault(t: Translate, key: string, events: readonly CustodyEvent[]): string | null {
  const named = splitFaultKey(key)
  const receipt = named && events.find((event) => eventKey(event) === named.receipt)
  if (!receipt) return null
  return formatCondition(t, readCondition(receipt.facts), named.fault).join(', ') || null
}

/** What a receipt tells of the condition, a short text for each part that was checked, or for that of one fault. */
function formatCondition(t: Translate, told: Condition, only?: Fault): string[] {
  return CONDITION_PARTS.flatMap((part) => {
    const value = told[part]
    const isOf = !only || CONDITION[part].fault === only || (only === 'seal' && part === 'sealNumber')
    if (value === undefined || !isOf) return []
    const options: readonly ConditionOption[] = CONDITION[part].options ?? []
    const option = options.find((one) => one.value === value)
    const text = option ? t(option.label) : typeof value === 'number' ? t.number(value) : String(value)
    return [formatFact(t, t(CONDITION[part].label), text)]
  })
}

/** A condition, or an earlier fact that told a part of one; as sent where it cannot be read. */
function formatConditionFact(t: Translate, name: string, value: unknown): string[] {
  const told = readCondition({ [name]: value })
  const isObject = typeof value === 'object' && value !== null && !Array.isArray(value)
  const given = name === 'condition' && isObject ? Object.entries(value) : [[name, value] as const]
  const unread = given.filter(([part]) => !Object.hasOwn(told, EARLIER_PARTS.get(part) ?? part))
  return [
    ...formatCondition(t, told),
    ...unread.map(([part, raw]) => formatFact(t, part, formatAnything(t, raw))),
  ]
}

const formatFact = (t: Translate, name: string, value: string) => t('samples.event.fact', { name, value })

function formatAnything(t: Translate, value: unknown): string {
  if (typeof value === 'boolean') return t(value ? 'samples.event.fact.yes' : 'samples.event.fact.no')
  return typeof value === 'string' || typeof value === 'number' ? String(value) : JSON.stringify(value)
}
