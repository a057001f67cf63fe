import { createHash } from 'node:crypto'
import type pg from 'pg'
import { parseRegisterInSteps } from '@/lib/custody/parseRegister'
import { getHoldsFromAt, type RegisterDocument, type RegisterProblem } from '@/lib/custody/registerDocument'
import { type Message, message } from '@/lib/messages/message'
import {
  diffRegister,
  type Entry,
  type EntryChange,
  type EntryContent,
  entryKey,
  groupByList,
  REGISTER_KINDS,
  REGISTER_LISTS,
  type RegisterList,
  readEntries,
} from '../ledger/registerEntries'
import { type Actor, COMMAND } from '../scope/audit'
import { TimeSlices } from '../scope/timeSlices'
import { withWriteTransaction } from '../scope/writer'
import { diffSampleStates, readSampleStates, type SampleChange } from './sampleStates'
import {
  findAffectedSamples,
  findFutureZoneChanges,
  findRefusals,
  type Refusal,
  saveChanges,
} from './saveChanges'

/** One entry to save as a whole, or (content null) to remove. */
export interface RegisterEdit {
  list: RegisterList
  code: string
  content: EntryContent | null
  /** It must not exist yet: a code that is taken is refused. */
  isNew?: boolean
}

/** Something wrong with an edit. `pointer` is a JSON pointer within the entry; list and code are null for the whole. */
export interface EditProblem {
  list: RegisterList | null
  code: string | null
  pointer: string
  detail: Message
}

export interface ChangeOptions {
  /** When the new versions begin to hold, ms UTC; null: now. Never in the past. */
  holdsFromAt: number | null
  actor: Actor
  /** ms UTC. */
  now: number
}

/** What a change does to entries, and to the dues and standings of samples. */
export interface ChangeEffect {
  changes: EntryChange[]
  sampleChanges: SampleChange[]
  /** Hash of all of this. A change is confirmed by it, so that only what was shown is done. */
  digest: string
}

export type ChangeResult =
  /** `isDone` is false for a preview, or if the change would now do something else than was confirmed. */
  { effect: ChangeEffect; isDone: boolean; problems: [] } | { effect: null; problems: EditProblem[] }

/** Carries the result out of a transaction that is rolled back. */
class RolledBack extends Error {
  constructor(readonly result: ChangeResult) {
    super('rolled back')
  }
}

/** Shows what edits would do: makes them in a transaction and rolls it back. */
export async function previewChange(
  pool: pg.Pool,
  edits: readonly RegisterEdit[],
  options: ChangeOptions,
): Promise<ChangeResult> {
  return runChange(pool, edits, options, () => false)
}

/**
 * Makes edits in one transaction: checks the whole register that would result, inserts the new versions, derives every
 * affected sample and writes the audit log. `confirmed` is the digest of the effect that was shown; if the effect is
 * another one now, nothing is done.
 */
export async function changeRegister(
  pool: pg.Pool,
  edits: readonly RegisterEdit[],
  options: ChangeOptions & { confirmed?: string },
): Promise<ChangeResult> {
  const { confirmed } = options
  return runChange(pool, edits, options, ({ digest }) => confirmed === undefined || confirmed === digest)
}

async function runChange(
  pool: pg.Pool,
  edits: readonly RegisterEdit[],
  { holdsFromAt, actor, now }: ChangeOptions,
  isWanted: (effect: ChangeEffect) => boolean,
): Promise<ChangeResult> {
  if (holdsFromAt !== null && holdsFromAt < now)
    return refused([toDocumentProblem(message('register.pastChange'))])
  const fromAt = holdsFromAt ?? now
  const slices = new TimeSlices()
  try {
    return await withWriteTransaction(pool, async (client) => {
      const before = await readEntries(client)
      const checked = await checkEdits(before, edits, fromAt, slices)
      if (!checked.changes) return refused(checked.problems)
      const { changes } = checked
      const ahead = findFutureZoneChanges(changes, fromAt, now)
      if (ahead.length > 0) return refused(ahead.map((one) => ({ ...one, pointer: '/zone' })))
      const refusals = await findRefusals(client, changes)
      if (refusals.length > 0) return refused(refusals.map(({ detail }) => toDocumentProblem(detail)))
      const codes = await findAffectedSamples(client, changes)
      const earlier = await readSampleStates(client, codes)
      await saveChanges(client, changes, codes, { holdsFromAt: fromAt, actor, now, slices })
      const sampleChanges = diffSampleStates(earlier, await readSampleStates(client, codes), now)
      const digest = hashEffect({ changes, sampleChanges, holdsFromAt })
      const effect = { changes, sampleChanges, digest }
      const result: ChangeResult = { effect, isDone: isWanted(effect), problems: [] }
      if (!result.isDone) throw new RolledBack(result)
      return result
    })
  } catch (error) {
    if (error instanceof RolledBack) return error.result
    throw error
  }
}

/** More problems than anyone reads. */
const MAX_PROBLEMS = 1_000

async function checkEdits(
  before: ReadonlyMap<string, Entry>,
  edits: readonly RegisterEdit[],
  fromAt: number,
  slices: TimeSlices,
): Promise<{ changes: EntryChange[] } | { changes: null; problems: EditProblem[] }> {
  const after = new Map(before)
  const problems: EditProblem[] = []
  for (const { list, code, content, isNew } of edits) {
    const kind = REGISTER_KINDS[list]
    const key = entryKey(kind, code)
    const problem = (detail: Message) => problems.push({ list, code, pointer: '/code', detail })
    const known = after.get(key)
    if (isNew && known) problem(message('register.codeTaken', { code }))
    if (content === null && !known) problem(message('register.entryGone', { code }))
    if (known && known.holdsFromAt > fromAt)
      problem(message('register.laterVersion', { code, from: new Date(known.holdsFromAt).toISOString() }))
    if (content === null) after.delete(key)
    else after.set(key, { kind, code, content, holdsFromAt: fromAt })
  }
  const lists = groupByList(after.values())
  const parsed = await slices.run(parseRegisterInSteps(lists, MAX_PROBLEMS))
  if (parsed.document && problems.length === 0)
    return { changes: await slices.run(diffRegister(before, parsed.document)) }
  return {
    changes: null,
    problems: [...problems, ...parsed.problems.map((one) => toEditProblem(one, lists))],
  }
}

/** Assigns a problem of the document to the entry in which it is. */
function toEditProblem(
  { pointer, detail }: RegisterProblem,
  lists: Record<RegisterList, EntryContent[]>,
): EditProblem {
  const [, list, index, ...path] = pointer.split('/')
  const entry = lists[list as RegisterList]?.[Number(index)]
  if (!entry) return { list: null, code: null, pointer, detail }
  const within = path.map((part) => `/${part}`).join('')
  return { list: list as RegisterList, code: String(entry.code), pointer: within, detail }
}

function toDocumentProblem(detail: Message): EditProblem {
  return { list: null, code: null, pointer: '', detail }
}

function refused(problems: EditProblem[]): ChangeResult {
  return { effect: null, problems }
}

function hashEffect(value: unknown): string {
  return createHash('sha256').update(JSON.stringify(value)).digest('base64url')
}

/** Counts of entries, and of samples derived again. */
interface RegisterChange {
  added: number
  changed: number
  removed: number
  unchanged: number
  derived: number
}

/**
 * Applies a valid document in one transaction. New and changed entries become versions that hold from now, or from the
 * document's `holdsFrom` if that is later; absent entries are removed. Idempotent. A zone that would change later refuses
 * the whole document. Derives every affected sample and writes the audit log. Times in ms UTC.
 */
export async function applyRegister(
  pool: pg.Pool,
  document: RegisterDocument,
  now: number,
  actor: Actor = COMMAND,
  slices = new TimeSlices(),
): Promise<{ change: RegisterChange; refusals: [] } | { change: null; refusals: Refusal[] }> {
  return withWriteTransaction(pool, async (client) => {
    const changes = await slices.run(diffRegister(await readEntries(client), document))
    const fromAt = Math.max(now, getHoldsFromAt(document) ?? now)
    const refusals = [
      ...findFutureZoneChanges(changes, fromAt, now).map(({ list, code, detail }) => ({
        pointer: `/${list}/${document[list].findIndex((one) => one.code === code)}/zone`,
        detail,
      })),
      ...(await findRefusals(client, changes)),
    ]
    if (refusals.length > 0) return { change: null, refusals }
    const codes = await findAffectedSamples(client, changes)
    await saveChanges(client, changes, codes, { holdsFromAt: fromAt, actor, now, slices })
    return {
      change: {
        added: changes.filter((one) => one.before === null).length,
        changed: changes.filter((one) => one.before !== null && one.content !== null).length,
        removed: changes.filter((one) => one.content === null).length,
        unchanged:
          REGISTER_LISTS.reduce((sum, list) => sum + document[list].length, 0) -
          changes.filter((one) => one.content !== null).length,
        derived: codes.length,
      },
      refusals: [],
    }
  })
}
