import type { ConditionPart } from '@/lib/custody/condition'
import type { ReadEvent } from '@/lib/custody/event'
import { message } from '@/lib/messages/message'
import {
  CONDITION_FIELDS,
  type ConditionAnswers,
  getBoxField,
  getConditionField,
  isAnswered,
  readConditionAnswers,
} from './conditionForm'
import type { EventFormValues } from './eventForm'
import {
  type EventAuthor,
  type EventFormKit,
  type FormFault,
  keepFirstPerField,
  parseEventForm,
} from './parseEventForm'
import { getBoxCode, listNotTicked, mergeAnswers, type OtherBox, type ReceiptForm } from './receiptForm'

/** What reading receipts needs to know beside the form. */
export interface ReceiptContext {
  /** The laboratory at which the boxes of no list are. */
  laboratory: string
  /** The kits that the person sees, by code. */
  kits: ReadonlyMap<string, EventFormKit>
  getAuthor: (box: string) => EventAuthor
  findZone: (place: string | null) => string | null
  /** ms UTC */
  now: number
}

/**
 * Reads a form as the receipts that it records, one for each box with the box's own condition, or returns its faults by field. A
 * box of no list is that of its kit, if the person sees that kit; else it is kept with its code as given, or without one.
 */
export function parseReceipts(
  form: EventFormValues,
  said: ReceiptForm,
  { laboratory, kits, getAuthor, findZone, now }: ReceiptContext,
): { events: ReadEvent[] } | { faults: FormFault[] } {
  const boxes = [
    ...said.ticked.flatMap((name) => kits.get(name) ?? []).map((kit) => ({ name: kit.code as string, kit })),
    ...said.others.map((box) => ({ name: box.name, kit: toKit(box, kits, laboratory) })),
  ]
  const shared = readConditionAnswers((part) => form[getConditionField(part)])
  const isSingle = said.ticked.length === 1 && said.others.length === 0
  const faults: FormFault[] = listNotTicked(said).map((name) => ({
    field: `box.${name}`,
    detail: message('record.fault.notTicked'),
  }))
  if (!isSingle && !said.isForAll && isAnswered(shared))
    faults.push({ field: 'forAll', detail: message('record.fault.sayForAll') })
  faults.push(
    ...listUnnamed(said).map(
      (name): FormFault => ({
        field: `box.${name}.written`,
        detail: message('record.fault.unnamedBox'),
      }),
    ),
  )
  const events: ReadEvent[] = []
  for (const { name, kit } of boxes) {
    const own = said.answers.get(name)
    const filled = fillIn(form, mergeAnswers(own, shared))
    const read = parseEventForm(filled, kit, getAuthor(name), findZone, now)
    if ('event' in read) events.push(read.event)
    else faults.push(...read.faults.map((fault) => toBoxFault(fault, name, own, isSingle)))
  }
  return faults.length > 0 ? { faults: keepFirstPerField(faults) } : { events }
}

/** The boxes without a code of which nothing was told that would let someone find them again. */
function listUnnamed({ others, answers }: ReceiptForm): string[] {
  return others.flatMap(({ name, waybill, written }) => {
    const isNamed = getBoxCode(name) !== null || waybill || written || answers.get(name)?.sealNumber
    return isNamed ? [] : [name]
  })
}

function fillIn(form: EventFormValues, answers: ConditionAnswers): EventFormValues {
  const fields = Object.entries(answers).map(([part, answer]) => [`condition.${part}`, answer])
  return { ...form, ...Object.fromEntries(fields) }
}

/** A box of no list as the form that records an event needs it. */
function toKit(
  { name, waybill, written }: OtherBox,
  kits: ReadonlyMap<string, EventFormKit>,
  laboratory: string,
): EventFormKit {
  const code = getBoxCode(name)
  const known = code === null ? undefined : kits.get(code)
  return {
    ...(known ?? { code, plant: '', product: null, reported: [], clocks: [] }),
    // Where it is, even if it was bound for another one.
    laboratory,
    waybill,
    previousFacts: written === '' ? null : { writtenOnBox: written },
  }
}

/** A fault of one of several boxes, at the field that has it: one of its own, one for all boxes, or the box itself. */
function toBoxFault(
  { field, detail }: FormFault,
  name: string,
  own: ConditionAnswers | undefined,
  isSingle: boolean,
): FormFault {
  if (field === 'kind' && !isSingle) return { field: `box.${name}`, detail }
  if (field === 'waybill') return { field: `box.${name}.waybill`, detail }
  if (!CONDITION_FIELDS.some((one) => one === field)) return { field, detail }
  const part = field.slice('condition.'.length) as ConditionPart
  return own?.[part] ? { field: getBoxField(name, part), detail } : { field, detail }
}
