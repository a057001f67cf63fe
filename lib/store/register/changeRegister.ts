import { createHash } from 'node:crypto'
import type pg from 'pg'
import { parseRegister } from '@/lib/custody/parseRegister'
import { getHoldsFromAt, type RegisterDocument, type RegisterProblem } from '@/lib/custody/registerDocument'
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
import { withWriteTransaction } from '../scope/writer'
import { diffSampleStates, readSampleStates, type SampleChange } from './sampleStates'
import {
  findAffectedSamples,
  findFutureZoneChanges,
  findRefusals,
  type Refusal,
  saveChanges,
} from './saveChanges'

/** One entry to be entered whole, or (content null) taken out. */
export interface RegisterEdit {
  list: RegisterList
  code: string
  content: EntryContent | null
  /** It is to be added: refused where the code is taken. */
  isNew?: boolean
}

/** Something wrong with an edit: of which entry, on which of its fields (a JSON pointer within it), and what is right. */
export interface EditProblem {
  list: RegisterList | null
  code: string | null
  pointer: string
  detail: string
}

export interface ChangeOptions {
  /** From when the new versions hold, ms UTC; now where it is null. Never before now. */
  holdsFromAt: number | null
  actor: Actor
  /** ms UTC. */
  now: number
}

/** What a change does: the entries, and the samples whose dues or standings it moves. */
export interface ChangeEffect {
  changes: EntryChange[]
  sampleChanges: SampleChange[]
  /** Names all of this. A change is confirmed by it, so that what is done is what was shown. */
  digest: string
}

export type ChangeResult =
  /** `isDone` is false where it was only tried, or where it would do other things than were confirmed. */
  { effect: ChangeEffect; isDone: boolean; problems: [] } | { effect: null; problems: EditProblem[] }

/** Carries what a change would do out of a transaction that is rolled back. */
class RolledBack extends Error {
  constructor(readonly result: ChangeResult) {
    super('rolled back')
  }
}

/** What edits of the register would do: all of it is done in a transaction, and that is rolled back. */
export async function previewChange(
  pool: pg.Pool,
  edits: readonly RegisterEdit[],
  options: ChangeOptions,
): Promise<ChangeResult> {
  return runChange(pool, edits, options, () => false)
}

/**
 * Makes edits of the register in one transaction: checks the register that would result with the rules of a whole
 * document, enters the new versions, derives every sample concerned and records each change. With `confirmed`, the
 * digest of what was shown before, nothing is done where it would now do something else.
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
    return refused([
      toDocumentProblem('A change holds from now or from a later time; what is past keeps what held then.'),
    ])
  const fromAt = holdsFromAt ?? now
  try {
    return await withWriteTransaction(pool, async (client) => {
      const before = await readEntries(client)
      const checked = checkEdits(before, edits, fromAt)
      if (!checked.changes) return refused(checked.problems)
      const { changes } = checked
      const ahead = findFutureZoneChanges(changes, fromAt, now)
      if (ahead.length > 0) return refused(ahead.map((one) => ({ ...one, pointer: '/zone' })))
      const refusals = await findRefusals(client, changes)
      if (refusals.length > 0) return refused(refusals.map(({ detail }) => toDocumentProblem(detail)))
      const codes = await findAffectedSamples(client, changes)
      const earlier = await readSampleStates(client, codes)
      await saveChanges(client, changes, codes, { holdsFromAt: fromAt, actor, now })
      const moves = diffSampleStates(earlier, await readSampleStates(client, codes), now)
      const effect = { changes, sampleChanges: moves, digest: hashEffect({ changes, moves, holdsFromAt }) }
      const result: ChangeResult = { effect, isDone: isWanted(effect), problems: [] }
      if (!result.isDone) throw new RolledBack(result)
      return result
    })
  } catch (error) {
    if (error instanceof RolledBack) return error.result
    throw error
  }
}

function checkEdits(
  before: ReadonlyMap<string, Entry>,
  edits: readonly RegisterEdit[],
  fromAt: number,
): { changes: EntryChange[] } | { changes: null; problems: EditProblem[] } {
  const after = new Map(before)
  const problems: EditProblem[] = []
  for (const { list, code, content, isNew } of edits) {
    const kind = REGISTER_KINDS[list]
    const key = entryKey(kind, code)
    const problem = (detail: string) => problems.push({ list, code, pointer: '/code', detail })
    const known = after.get(key)
    if (isNew && known) problem(`The code "${code}" is taken by another ${kind}; choose another.`)
    if (content === null && !known) problem(`No ${kind} has the code "${code}".`)
    if (known && known.holdsFromAt > fromAt)
      problem(
        `The ${kind} "${code}" has a version that holds only from ${new Date(known.holdsFromAt).toISOString()}; let this one hold from then or later.`,
      )
    if (content === null) after.delete(key)
    else after.set(key, { kind, code, content, holdsFromAt: fromAt })
  }
  const lists = groupByList(after.values())
  const parsed = parseRegister(lists)
  if (parsed.document && problems.length === 0) return { changes: diffRegister(before, parsed.document) }
  return {
    changes: null,
    problems: [...problems, ...parsed.problems.map((one) => toEditProblem(one, lists))],
  }
}

/** A problem of the whole document as one of the entry that it is in. */
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

function toDocumentProblem(detail: string): EditProblem {
  return { list: null, code: null, pointer: '', detail }
}

function refused(problems: EditProblem[]): ChangeResult {
  return { effect: null, problems }
}

function hashEffect(value: unknown): string {
  return createHash('sha256').update(JSON.stringify(value)).digest('base64url')
}

/** What applying a register document did, in numbers of entries, and of samples derived again. */
interface RegisterChange {
  added: number
  changed: number
  removed: number
  unchanged: number
  derived: number
}

/**
 * Applies a checked document in one transaction: what is new or different becomes a new version that holds from now,
 * or from the document's `holdsFrom` if that is later; what is absent is taken out. The same document again changes
 * nothing. A zone that would change later is refused, and with it the document. Derives every sample that a change can concern, and records each change as the actor's. Times in ms UTC.
 */
export async function applyRegister(
  pool: pg.Pool,
  document: RegisterDocument,
  now: number,
  actor: Actor = COMMAND,
): Promise<{ change: RegisterChange; refusals: [] } | { change: null; refusals: Refusal[] }> {
  return withWriteTransaction(pool, async (client) => {
    const changes = diffRegister(await readEntries(client), document)
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
    await saveChanges(client, changes, codes, { holdsFromAt: fromAt, actor, now })
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
