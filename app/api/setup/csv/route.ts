import {
  type CsvEntries,
  countCsvRows,
  describeCsvProblem,
  parseCsvEntries,
  toCsvTables,
} from '@/app/setup/forms/csvEntries'
import { isRegisterList } from '@/app/setup/forms/entryForms'
import { UnusableCsv } from '@/app/setup/forms/unusableCsv'
import { recordDownload } from '@/lib/access/session/recordDownload'
import { redirect303 } from '@/lib/access/session/signIn'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { type RegisterList, readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { previewChange } from '@/lib/store/register/changeRegister'
import { saveDraft } from '@/lib/store/register/setupDraft'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { letOthersGoFirst } from '@/lib/store/scope/timeSlices'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { createKitCodeGenerator } from '../kitCodeGenerator'
import { readPastedList, readSetupForm } from '../readSetupForm'

const NO_LIST = problem('no-list', 404, 'No such list', 'Name a list of the set-up, such as ?list=plants.')

/** A list of the register as the CSV that POST takes. */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/setup/csv', request)
  if (principal instanceof Response) return principal
  const list = new URL(request.url).searchParams.get('list') ?? ''
  if (!isRegisterList(list)) return problemReply(NO_LIST)
  const register = await readRegisterDocument(getAppPool())
  const rows = countCsvRows(list, register)
  await recordDownload(principal, request, {
    what: 'downloaded a list of the register',
    subject: list,
    rows,
  })
  return csvReply(list, inSlices(toCsvTables(list, register)))
})

/** A list can have a hundred thousand entries: others go before each part of it. */
async function* inSlices<T>(parts: Iterable<T>): AsyncGenerator<T, void> {
  for (const part of parts) {
    yield part
    await letOthersGoFirst()
  }
}

/** Takes a CSV, pasted or as a file, and leads to a preview of its changes, without the lines that are refused. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/csv', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const list = String(sent.fields.get('list') ?? '')
  if (!isRegisterList(list)) return problemReply(NO_LIST)
  const text = await readPastedList(sent.fields)
  const now = Date.now()
  const base = { list, holdsFromAt: null, values: { text }, problems: [] }
  const register = await readRegisterDocument(getAppPool())
  try {
    const newCode = createKitCodeGenerator(register.kits.map(({ code }) => code))
    const read = parseCsvEntries(list, text, register, newCode, now)
    const { edits, lines } = await dropRefused(read, list, sent.actor, now)
    const kept = edits.map(({ line: _, ...edit }) => edit)
    return redirect303(
      `/setup/changes/${await saveDraft(getAppPool(), sent.actor, { ...base, edits: kept, lines }, now)}`,
    )
  } catch (error) {
    if (!(error instanceof UnusableCsv)) throw error
    const problems = [{ field: 'text', detail: error.detail }]
    const id = await saveDraft(getAppPool(), sent.actor, { ...base, edits: [], problems }, now)
    return redirect303(`/setup/csv/${list}?draft=${id}`)
  }
})

/** Refused lines that the preview tells. */
const MAX_LINES_TOLD = 500
/** An entry that needs a refused one is refused in the next round. What is left then, the preview refuses as a whole. */
const MAX_ROUNDS = 10

/** Drops the edits that the register refuses and reports each as a fault of its line. */
async function dropRefused(
  read: CsvEntries,
  list: RegisterList,
  actor: Actor,
  now: number,
): Promise<CsvEntries> {
  let { edits } = read
  const lines = [...read.lines]
  for (let round = 0; edits.length > 0 && round < MAX_ROUNDS; round += 1) {
    const { problems } = await previewChange(getAppPool(), edits, { holdsFromAt: null, actor, now })
    const refused = new Set(problems.filter((one) => one.list === list).map(({ code }) => code))
    const left = edits.filter(({ code }) => !refused.has(code))
    if (left.length === edits.length) break
    for (const one of problems) {
      const edit = edits.find(({ code }) => one.list === list && code === one.code)
      if (edit) lines.push({ line: edit.line, detail: describeCsvProblem(list, one) })
    }
    edits = left
  }
  return { edits, lines: lines.sort((a, b) => a.line - b.line).slice(0, MAX_LINES_TOLD) }
}
