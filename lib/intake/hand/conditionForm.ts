import {
  CONDITION,
  CONDITION_PARTS,
  type Condition,
  type ConditionPart,
  condition,
  findConditionProblems,
} from '@/lib/custody/condition'
import type { Message } from '@/lib/messages/message'

/** A field of the form that asks for one part of a receipt's condition. */
export type ConditionField = `condition.${ConditionPart}`

export const CONDITION_FIELDS = CONDITION_PARTS.map(getConditionField)

/** What was answered, part by part; empty: it was not checked. */
export type ConditionAnswers = Record<ConditionPart, string>

export function getConditionField(part: ConditionPart): ConditionField {
  return `condition.${part}`
}

/** The field that asks for a part of one of several boxes. `box`: its kit code, or its name on the form. */
export function getBoxField(box: string, part: ConditionPart): `condition.${string}.${ConditionPart}` {
  return `condition.${box}.${part}`
}

export function readConditionAnswers(
  get: (part: ConditionPart) => string | null | undefined,
): ConditionAnswers {
  return Object.fromEntries(
    CONDITION_PARTS.map((part) => [part, (get(part) ?? '').trim()]),
  ) as ConditionAnswers
}

/** The answers that a recorded condition would have been. */
export function toConditionAnswers(recorded: Condition): ConditionAnswers {
  return readConditionAnswers((part) => (recorded[part] === undefined ? '' : String(recorded[part])))
}

export function isAnswered(answers: ConditionAnswers): boolean {
  return CONDITION_PARTS.some((part) => answers[part] !== '')
}

/**
 * The condition that was answered, and what is wrong with single answers. A part that was not checked is left out; undefined if
 * none was.
 */
export function parseCondition(answers: ConditionAnswers): {
  condition: Condition | undefined
  faults: { part: ConditionPart; detail: Message }[]
} {
  const given = CONDITION_PARTS.filter((part) => answers[part] !== '')
  const values = given.map((part) => [part, parseAnswer(part, answers[part])] as const)
  const faults = values.flatMap(([part, value]) =>
    findConditionProblems({ [part]: value }).map(({ right }) => ({ part, detail: right })),
  )
  const isUsable = given.length > 0 && faults.length === 0
  return { condition: isUsable ? condition.parse(Object.fromEntries(values)) : undefined, faults }
}

/**
 * A number as people write it, and perhaps the unit. Read from its first character on: tried at each of thousands of blanks, it
 * would take minutes.
 */
const CELSIUS = /^([+−-]?\d+(?:[.,]\d*)?)\s*(?:[°º˚]\s*C|[°º˚℃C])?$/iu

/** A text that is no answer to the question stays one, so that the schema refuses it. */
function parseAnswer(part: ConditionPart, text: string): string | boolean | number {
  if (part === 'temperature')
    return Number(CELSIUS.exec(text.trim())?.[1]?.replace(',', '.').replace('−', '-') ?? Number.NaN)
  return CONDITION[part].options?.find(({ value }) => String(value) === text)?.value ?? text
}
