import { type ConditionRules, DEGREES, FAULTS } from '@/lib/custody/condition'
import { GRADES } from '@/lib/custody/grade'
import { message } from '@/lib/messages/message'
import { emptyToUndefined, type FieldProblem, type FormValues } from './formValues'

const LIMITS = { minTemperature: 'min', maxTemperature: 'max' } as const
const LIMIT_FIELDS = Object.keys(LIMITS) as (keyof typeof LIMITS)[]

/** The field of a fault's grade. */
export const toGradeField = (fault: (typeof FAULTS)[number]) => `${fault}Grade` as const

/** What a protocol says of the condition at receipt, in the order of the form. */
export const CONDITION_RULE_FIELDS = [...LIMIT_FIELDS, ...FAULTS.map(toGradeField)] as const

export function toConditionRuleValues({ temperature = {}, grades = {} }: ConditionRules): FormValues {
  return Object.fromEntries([
    ...LIMIT_FIELDS.map((field) => [field, String(temperature[LIMITS[field]] ?? '')]),
    ...FAULTS.map((fault) => [toGradeField(fault), grades[fault] ?? '']),
  ])
}

/** Undefined if nothing is said. */
export function parseConditionRules(
  values: FormValues,
  problems: FieldProblem[],
): ConditionRules | undefined {
  const temperature: NonNullable<ConditionRules['temperature']> = {}
  for (const field of LIMIT_FIELDS) {
    const text = emptyToUndefined(values[field])
    const degrees = text === undefined ? undefined : Number(text.replace(',', '.').replace('−', '-'))
    if (degrees === undefined) continue
    if (degrees >= DEGREES.min && degrees <= DEGREES.max) temperature[LIMITS[field]] = degrees
    else problems.push({ field, detail: message('setup.fault.degrees', DEGREES) })
  }
  const { min, max } = temperature
  if (min !== undefined && max !== undefined && min > max)
    problems.push({ field: 'maxTemperature', detail: message('register.temperatureRange') })
  const grades: NonNullable<ConditionRules['grades']> = {}
  for (const fault of FAULTS) {
    const text = emptyToUndefined(values[toGradeField(fault)])
    const grade = GRADES.find((one) => one === text)
    if (grade !== undefined) grades[fault] = grade
    else if (text !== undefined)
      problems.push({
        field: toGradeField(fault),
        detail: message('setup.fault.grade', { grades: GRADES.join(', ') }),
      })
  }
  const rules = {
    ...(Object.keys(temperature).length > 0 && { temperature }),
    ...(Object.keys(grades).length > 0 && { grades }),
  }
  return Object.keys(rules).length > 0 ? rules : undefined
}
