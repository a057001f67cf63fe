import { findBarredKits } from '@/app/receiving/findBarredKits'
import { eventKey } from '@/lib/custody/event'
import type { EventFormValues } from '@/lib/intake/hand/eventForm'
import type { EventFormKit } from '@/lib/intake/hand/parseEventForm'
import { parseReceipts } from '@/lib/intake/hand/parseReceipts'
import { getBoxCode, readReceiptForm } from '@/lib/intake/hand/receiptForm'
import { message } from '@/lib/messages/message'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { findVisibleKits } from '@/lib/store/read/sample/eventForm'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import {
  acceptSubmission,
  createEventAuthor,
  findCorrectableEvent,
  findRecordedEvents,
  refuseCount,
} from './recordEvents'
import type { Outcome, Submission } from './submission'

/** Records the receipt of each box of a form with its condition: kits of the list, and boxes of no list. */
export async function recordReceipts(
  person: Person,
  actor: Actor,
  submission: Submission,
  form: EventFormValues,
  now: number,
): Promise<Outcome> {
  const said = readReceiptForm(submission)
  const names = [...said.ticked, ...said.others.map(({ name }) => name)]
  const refused = refuseCount(names.length)
  if (refused) return refused
  const codes = names.flatMap((name) => getBoxCode(name) ?? [])
  const seen = await findVisibleKits(getAppPool(), getScope(person), codes, now)
  const kits = new Map<string, EventFormKit>(seen.map((kit) => [kit.code, kit]))
  if (!said.ticked.every((code) => kits.has(code))) return { kind: 'not found' }
  const laboratory = submission.get('laboratory')
  const barred = findBarredKits(person, seen)
  if (barred.some(({ field }) => said.ticked.some((code) => field === `box.${code}`)))
    return { kind: 'forbidden', detail: 'You may not record “received” for this sample.' }
  if (barred.length > 0) return { kind: 'refused', faults: barred }
  if (said.others.length > 0 && !may(person, 'received', { plant: '', laboratory }))
    return { kind: 'forbidden', detail: 'You may not record “received” at this laboratory.' }
  const token = submission.get('token')
  const getAuthor = (box: string) => createEventAuthor(person, token, box)
  const before = new Set((await findRecordedEvents(person, token, now)).map(({ key }) => key))
  const expected = names.map((name) => eventKey(getAuthor(name)))
  if (expected.every((key) => before.has(key))) return { kind: 'already known', token, events: expected }
  if (form.corrects !== '') {
    const corrected =
      said.others.length > 0 ? null : await findCorrectableEvent(person, form.corrects, codes, now)
    if (corrected?.kind !== 'received') return { kind: 'not found' }
    for (const [code, kit] of kits) kits.set(code, { ...kit, previousFacts: corrected.facts })
  }
  return acceptSubmission(
    person,
    { actor, token, what: form.corrects === '' ? 'recorded by hand' : 'corrected by hand' },
    (register) => {
      if (said.others.length > 0 && !register.laboratories.has(laboratory))
        return [{ faults: [{ field: 'kind', detail: message('record.fault.laboratory') }] }]
      const findZone = (place: string | null) => register.getZone(place)
      const read = parseReceipts(form, said, { laboratory, kits, getAuthor, findZone, now })
      return 'faults' in read ? [read] : read.events.map((event) => ({ event }))
    },
    now,
  )
}
