import { CONDITION_PARTS, type ConditionPart } from '@/lib/custody/condition'
import { isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { type ConditionAnswers, getBoxField, isAnswered, readConditionAnswers } from './conditionForm'

/** What the form says of the boxes that it receives. Each box has a name: its kit code, or one of the form where it has none. */
export interface ReceiptForm {
  /** The kits of the list that are ticked. */
  ticked: string[]
  /** The boxes that are on no list. */
  others: OtherBox[]
  /** What was answered of single boxes, ticked or not, by the name of the box. */
  answers: ReadonlyMap<string, ConditionAnswers>
  /** The answers that are of no single box hold for every ticked box. */
  isForAll: boolean
}

export interface OtherBox {
  name: string
  waybill: string
  /** What is written on it. */
  written: string
}

/** The fields of a form, from a request or from an address. */
export interface FormFields {
  get(name: string): string
  getAll(name: string): string[]
  names(): string[]
}

const CONDITION_NAME = new RegExp(`^condition\\.([^.]+)\\.(${CONDITION_PARTS.join('|')})$`)

export function readReceiptForm(fields: FormFields): ReceiptForm {
  const answers = new Map<string, ConditionAnswers>()
  for (const field of fields.names()) {
    const given = CONDITION_NAME.exec(field)?.[1]
    if (given === undefined) continue
    const told = readConditionAnswers((part) => fields.get(getBoxField(given, part)))
    const name = toBoxName(given)
    // A code may be written in two ways.
    answers.set(name, mergeAnswers(answers.get(name), told))
  }
  return {
    ticked: [...new Set(fields.getAll('sample').map(toCanonical))],
    others: [...new Set(fields.getAll('box'))].map((name) => ({
      name: toBoxName(name),
      waybill: fields.get(`box.${name}.waybill`).trim(),
      written: fields.get(`box.${name}.written`).trim(),
    })),
    answers,
    isForAll: fields.get('forAll') === 'yes',
  }
}

/** The same in few words, as the page reads it from its address: whatever is empty is left out. */
export function toReceiptFields({ ticked, others, answers, isForAll }: ReceiptForm): [string, string][] {
  const told = [...answers].flatMap(([name, said]) =>
    CONDITION_PARTS.map((part): [string, string] => [getBoxField(name, part), said[part]]),
  )
  const fields: [string, string][] = [
    ...ticked.map((code): [string, string] => ['sample', code]),
    ...others.flatMap(({ name, waybill, written }): [string, string][] => [
      ['box', name],
      [`box.${name}.waybill`, waybill],
      [`box.${name}.written`, written],
    ]),
    ...told,
    ['forAll', isForAll ? 'yes' : ''],
  ]
  return fields.filter(([, value]) => value !== '')
}

/** The kit code that a box is named by; null for a box whose code nobody can read. */
export function getBoxCode(name: string): string | null {
  return isKitCode(name) ? name : null
}

function toBoxName(text: string): string {
  const code = toCanonical(text)
  return isKitCode(code) ? code : text
}

/** The boxes of which something was answered although they are neither ticked nor among the others. */
export function listNotTicked({ ticked, others, answers }: ReceiptForm): string[] {
  const received = new Set([...ticked, ...others.map(({ name }) => name)])
  return [...answers].flatMap(([name, said]) => (isAnswered(said) && !received.has(name) ? [name] : []))
}

/** What a box was answered: its own answer to each question, else the one for all. */
export function mergeAnswers(own: ConditionAnswers | undefined, shared: ConditionAnswers): ConditionAnswers {
  return readConditionAnswers((part: ConditionPart) => own?.[part] || shared[part])
}
