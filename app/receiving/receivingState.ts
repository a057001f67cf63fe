import { type ConditionAnswers, isAnswered } from '@/lib/intake/hand/conditionForm'
import { type EventFormValues, readEventForm } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { parseReceipts } from '@/lib/intake/hand/parseReceipts'
import { type OtherBox, type ReceiptForm, readReceiptForm } from '@/lib/intake/hand/receiptForm'
import { type Message, message } from '@/lib/messages/message'
import type { Person } from '@/lib/policy/principal'
import type { VisibleKit } from '@/lib/store/read/sample/eventForm'
import { findBarredKits } from './findBarredKits'
import { createBoxName, type KnownKits, readScan } from './readScan'
import { readFields } from './receivingParams'

type Params = Record<string, string | string[] | undefined>

/** What was typed on the form of one laboratory so far, and what is wrong with it. */
export interface ReceivingState {
  form: EventFormValues
  ticked: string[]
  others: OtherBox[]
  /** Names of the others that are not to be received. */
  left: string[]
  answers: Record<string, ConditionAnswers>
  isForAll: boolean
  /** Names of the boxes whose conditions are open. */
  opened: string[]
  faults: FormFault[]
  scan: { answer: Message | null; last: string }
}

/** The kit codes that an address names, to be looked up: ticked ones, and boxes of no list. */
export function listNamedCodes(params: Params): string[] {
  const { ticked, others } = readReceiptForm(readFields(params))
  return [...ticked, ...others.map(({ name }) => name)]
}

/**
 * The form of a laboratory whose list has these kits. A kit that was ticked and has left the list since, because a colleague
 * received it, stays on the page as a box of no list.
 */
export function readReceivingState(
  params: Params,
  laboratory: { code: string; zone: string },
  listed: readonly string[],
  {
    kits,
    known,
    person,
    now,
  }: {
    kits: readonly VisibleKit[]
    known: KnownKits
    person: Person
    now: number
  },
): ReceivingState {
  const isTyped = params.laboratory === laboratory.code
  const fields = readFields(isTyped ? params : {})
  const form = readEventForm((field) => (field === 'kind' ? 'received' : fields.get(field)))
  const said = readReceiptForm(fields)
  const gone = said.ticked.filter((code) => !listed.includes(code)).map(toOtherBox)
  const sent: ReceiptForm = {
    ...said,
    ticked: said.ticked.filter((code) => listed.includes(code)),
    others: [...gone, ...said.others],
  }
  const left = [...said.answers].flatMap(([name, answers]) =>
    isAnswered(answers) && ![...listed, ...sent.others.map((box) => box.name)].includes(name) ? [name] : [],
  )
  const shown = { ...sent, others: [...sent.others, ...left.map(toOtherBox)] }
  const pressed = press(shown, fields.get('press'), fields.get('scan'), listed, known)
  const faults = fields.get('typed') === 'yes' ? findFaults(form, sent, laboratory, kits, person, now) : []
  return {
    form,
    ticked: pressed.ticked,
    others: pressed.others,
    left,
    answers: Object.fromEntries(said.answers),
    isForAll: said.isForAll,
    opened: [
      ...new Set([
        ...fields.getAll('open'),
        ...pressed.opened,
        ...[...said.answers].flatMap(([name, answers]) => (isAnswered(answers) ? [name] : [])),
        ...pressed.others.flatMap(({ name, waybill, written }) => (waybill || written ? [name] : [])),
        ...faults.flatMap(({ field }) => /^box\.([^.]+)\./.exec(field)?.[1] ?? []),
      ]),
    ],
    faults,
    scan: pressed.scan,
  }
}

function toOtherBox(name: string): OtherBox {
  return { name, waybill: '', written: '' }
}

/** What a button other than the one that records has done, without scripts. */
function press(
  said: ReceiptForm,
  button: string,
  text: string,
  listed: readonly string[],
  known: KnownKits,
): Pick<ReceivingState, 'scan'> & { ticked: string[]; others: OtherBox[]; opened: string[] } {
  const { ticked, others } = said
  const scan = { answer: null, last: '' }
  if (button === '') return { ticked, others, opened: [], scan }
  if (button === 'box') {
    const name = createBoxName(others.map((box) => box.name))
    return { ticked, others: [...others, toOtherBox(name)], opened: [name], scan }
  }
  if (button !== 'scan') return { ticked, others, opened: [button], scan }
  const read = readScan(text, listed, [...ticked, ...others.map(({ name }) => name)], known)
  const { answer } = read
  if (read.act === null) return { ticked, others, opened: [], scan: { answer, last: text } }
  const { act, code } = read
  return {
    ticked: act === 'tick' ? [...ticked, code] : ticked,
    others: act === 'add' ? [...others, toOtherBox(code)] : others,
    opened: act === 'open' ? [code] : [],
    scan: { answer, last: '' },
  }
}

function findFaults(
  form: EventFormValues,
  said: ReceiptForm,
  laboratory: { code: string; zone: string },
  kits: readonly VisibleKit[],
  person: Person,
  now: number,
): FormFault[] {
  if (said.ticked.length + said.others.length === 0)
    return [{ field: 'kind', detail: message('record.fault.tickOne') }]
  const read = parseReceipts(form, said, {
    laboratory: laboratory.code,
    kits: new Map(kits.map((kit) => [kit.code, kit])),
    getAuthor: () => ({ source: 'hand', id: 'typed', name: '' }),
    findZone: () => laboratory.zone,
    now,
  })
  return [...findBarredKits(person, kits), ...('faults' in read ? read.faults : [])]
}
