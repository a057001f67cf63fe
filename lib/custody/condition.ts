import { z } from 'zod'
import { type Message, message, type PlainMessageKey } from '@/lib/messages/message'
import type { Grade } from './grade'

/** What can be wrong with a sample as it arrives: in the key of a finding, after `#`. */
export const FAULTS = ['seal', 'packaging', 'form', 'code', 'airtight', 'specimen', 'temperature'] as const
export type Fault = (typeof FAULTS)[number]

/** One of the values that a part can have. */
export interface ConditionOption {
  value: string | boolean
  label: PlainMessageKey
  /** What was found, if it is a fault. */
  finding: PlainMessageKey | null
}

/** One part of the condition in which a laboratory receives a sample. */
interface Part {
  label: PlainMessageKey
  /** What its fault is called; null: it is only told. */
  fault: Fault | null
  /** The grade of its fault, unless the protocol says otherwise. */
  grade: Grade
  /** Null: a number or a text. */
  options: readonly ConditionOption[] | null
}

/** In °C: what a thermometer of a receiving desk can show. */
export const DEGREES = { min: -100, max: 150 } as const

const MAX_SEAL_NUMBER = 100

const yesOrNo = <Finding extends PlainMessageKey>(finding: Finding) =>
  [
    { value: true, label: 'condition.yes', finding: null },
    { value: false, label: 'condition.no', finding },
  ] as const

/** Every part, in the order of the form. The schema, the faults and the forms follow this table. */
export const CONDITION = {
  seal: {
    label: 'condition.seal.label',
    fault: 'seal',
    grade: 'hold',
    options: [
      { value: 'intact', label: 'condition.seal.intact', finding: null },
      { value: 'broken', label: 'condition.seal.broken', finding: 'finding.seal.broken' },
      { value: 'missing', label: 'condition.seal.missing', finding: 'finding.seal.missing' },
      { value: 'other number', label: 'condition.seal.otherNumber', finding: 'finding.seal.otherNumber' },
    ],
  },
  sealNumber: { label: 'condition.sealNumber.label', fault: null, grade: 'note', options: null },
  packaging: {
    label: 'condition.packaging.label',
    fault: 'packaging',
    grade: 'hold',
    options: [
      { value: 'sound', label: 'condition.packaging.sound', finding: null },
      { value: 'damaged', label: 'condition.packaging.damaged', finding: 'finding.packaging.damaged' },
      { value: 'wet', label: 'condition.packaging.wet', finding: 'finding.packaging.wet' },
    ],
  },
  form: {
    label: 'condition.form.label',
    fault: 'form',
    grade: 'note',
    options: [
      { value: 'complete', label: 'condition.form.complete', finding: null },
      { value: 'incomplete', label: 'condition.form.incomplete', finding: 'finding.form.incomplete' },
      { value: 'missing', label: 'condition.form.missing', finding: 'finding.form.missing' },
    ],
  },
  codeMatches: {
    label: 'condition.codeMatches.label',
    fault: 'code',
    grade: 'hold',
    options: yesOrNo('finding.code'),
  },
  airtight: {
    label: 'condition.airtight.label',
    fault: 'airtight',
    grade: 'hold',
    options: yesOrNo('finding.airtight'),
  },
  specimen: {
    label: 'condition.specimen.label',
    fault: 'specimen',
    grade: 'hold',
    options: [
      { value: 'whole', label: 'condition.specimen.whole', finding: null },
      { value: 'damaged', label: 'condition.specimen.damaged', finding: 'finding.specimen.damaged' },
      { value: 'wrong', label: 'condition.specimen.wrong', finding: 'finding.specimen.wrong' },
      { value: 'too little', label: 'condition.specimen.tooLittle', finding: 'finding.specimen.tooLittle' },
    ],
  },
  temperature: { label: 'condition.temperature.label', fault: 'temperature', grade: 'hold', options: null },
} as const satisfies Record<string, Part>

/** What a fault is found in, for people. */
export const FAULT_LABELS = Object.fromEntries(
  Object.values(CONDITION).flatMap(({ fault, label }) => (fault === null ? [] : [[fault, label]])),
) as Record<Fault, PlainMessageKey>

export type ConditionPart = keyof typeof CONDITION

/** In the order of the form. */
export const CONDITION_PARTS = Object.keys(CONDITION) as readonly ConditionPart[]

function oneOf<const Options extends readonly ConditionOption[]>(options: Options) {
  return z.literal(options.map(({ value }): Options[number]['value'] => value)).optional()
}

/** The condition of a sample as its laboratory received it: `facts.condition` of `received`. */
export const condition = z.strictObject({
  seal: oneOf(CONDITION.seal.options),
  sealNumber: z.union([z.string().max(MAX_SEAL_NUMBER), z.int().transform(String)]).optional(),
  packaging: oneOf(CONDITION.packaging.options),
  form: oneOf(CONDITION.form.options),
  codeMatches: oneOf(CONDITION.codeMatches.options),
  airtight: oneOf(CONDITION.airtight.options),
  specimen: oneOf(CONDITION.specimen.options),
  temperature: z.number().min(DEGREES.min).max(DEGREES.max).optional(),
} satisfies Record<ConditionPart, z.ZodType>)

export type Condition = z.infer<typeof condition>

/** A value of a condition that cannot be used, and what would be right. */
export interface ConditionProblem {
  /** Null: the condition as a whole, or a part that does not exist. */
  part: ConditionPart | null
  detail: Message
  right: Message
}

/** What is wrong with a condition from outside; empty if it can be read. */
export function findConditionProblems(value: unknown): ConditionProblem[] {
  const parsed = condition.safeParse(omitEmpty(value))
  if (parsed.success) return []
  return parsed.error.issues.flatMap((issue): ConditionProblem[] => {
    const parts = CONDITION_PARTS.join(', ')
    if (issue.code === 'unrecognized_keys')
      return issue.keys.map((part) => ({
        part: null,
        detail: message('condition.fault.unknownPart', { part: part.slice(0, MAX_SEAL_NUMBER) }),
        right: message('condition.fix.parts', { parts }),
      }))
    const part = CONDITION_PARTS.find((name) => name === issue.path[0])
    if (part === undefined)
      return [
        {
          part: null,
          detail: message('condition.fault.notObject'),
          right: message('condition.fix.parts', { parts }),
        },
      ]
    return [{ part, detail: message('condition.fault.value', { part }), right: describeAllowed(part) }]
  })
}

/** Empty counts as absent, as everywhere in an event. */
function omitEmpty(value: unknown): unknown {
  if (value === null || typeof value !== 'object' || Array.isArray(value)) return value
  return Object.fromEntries(Object.entries(value).filter(([, member]) => member !== null && member !== ''))
}

function describeAllowed(part: ConditionPart): Message {
  const { options } = CONDITION[part]
  if (options)
    return message('condition.fix.options', { values: options.map(({ value }) => String(value)).join(', ') })
  return part === 'temperature'
    ? message('condition.fix.temperature', DEGREES)
    : message('condition.fix.text', { max: MAX_SEAL_NUMBER })
}

/** What a protocol says of the condition in which its samples may arrive. */
export interface ConditionRules {
  /** In °C, both included; without either no temperature is a fault. */
  temperature?: { min?: number | undefined; max?: number | undefined } | undefined
  /** The grades of faults, where they differ from those of `CONDITION`. */
  grades?: Partial<Record<Fault, Grade | undefined>> | undefined
}

/** Something wrong with a sample as it arrived. */
export interface ConditionFault {
  part: ConditionPart
  /** What was told of the part. */
  value: Condition[ConditionPart]
  fault: Fault
  grade: Grade
  what: Message
}

/** What is wrong in a condition, in the order of its parts. */
export function listFaults(given: Condition, rules: ConditionRules): ConditionFault[] {
  return CONDITION_PARTS.flatMap((part) => {
    const { fault, grade } = CONDITION[part]
    const what = findFault(part, given, rules)
    if (fault === null || what === null) return []
    return [{ part, value: given[part], fault, grade: rules.grades?.[fault] ?? grade, what }]
  })
}

function findFault(part: ConditionPart, given: Condition, rules: ConditionRules): Message | null {
  if (part === 'temperature') return findTemperatureFault(given.temperature, rules.temperature ?? {})
  const options: readonly ConditionOption[] = CONDITION[part].options ?? []
  const finding = options.find(({ value }) => value === given[part])?.finding ?? null
  return finding === null ? null : message(finding)
}

function findTemperatureFault(
  temperature: number | undefined,
  { min, max }: NonNullable<ConditionRules['temperature']>,
): Message | null {
  if (temperature === undefined) return null
  if ((min === undefined || temperature >= min) && (max === undefined || temperature <= max)) return null
  if (min === undefined) return message('finding.temperature.above', { temperature, max: max as number })
  if (max === undefined) return message('finding.temperature.below', { temperature, min })
  return message('finding.temperature.outside', { temperature, min, max })
}

/** Whether a protocol says which temperatures are right. */
export function hasRange({ temperature }: ConditionRules): boolean {
  return temperature?.min !== undefined || temperature?.max !== undefined
}

/**
 * The condition that a receipt tells, part by part: what was accepted before a part had a schema is left out. The seal and the
 * temperature once stood in facts of their own.
 */
export function readCondition(facts: Record<string, unknown> | null): Condition {
  const given = facts?.condition
  const own = given !== null && typeof given === 'object' && !Array.isArray(given) ? given : {}
  const { 'seal intact': intact, temperature } = facts ?? {}
  const earlier = {
    ...(intact === undefined
      ? {}
      : { seal: intact === true ? 'intact' : intact === false ? 'broken' : null }),
    temperature,
  }
  const readable = Object.entries({ ...earlier, ...own }).filter(
    ([part, value]) => condition.safeParse({ [part]: value }).success,
  )
  return condition.parse(Object.fromEntries(readable))
}
