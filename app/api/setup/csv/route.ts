import { type CsvEntries, csvEntries, csvFault, csvTable } from '@/app/setup/forms/csvEntries'
import { isRegisterList } from '@/app/setup/forms/entryForms'
import { leadTo } from '@/lib/access/session/signedIn'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { type RegisterList, registerNow } from '@/lib/store/ledger/registerEntries'
import { tryChange } from '@/lib/store/register/changeRegister'
import { keepDraft } from '@/lib/store/register/setupDraft'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { kitCodeMaker } from '../newKitCode'
import { formOf, listIn } from '../sentForm'

const NO_LIST = problem('no-list', 404, 'No such list', 'Name a list of the set-up, as ?list=plants.')

/** A list of the register as the CSV that can be sent here again. */
export const GET = answering(async (request: Request) => {
  const principal = await asked('GET /api/setup/csv', request)
  if (principal instanceof Response) return principal
  const list = new URL(request.url).searchParams.get('list') ?? ''
  if (!isRegisterList(list)) return problemReply(NO_LIST)
  return csvReply(list, [csvTable(list, await registerNow(sharedPool()))])
})

/** Takes a CSV, pasted or as a file, and leads to what it would change; lines that are refused are left out of it. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/csv', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const list = String(sent.fields.get('list') ?? '')
  if (!isRegisterList(list)) return problemReply(NO_LIST)
  const text = await listIn(sent.fields)
  const now = Date.now()
  const base = { list, holdsFromAt: null, values: { text }, problems: [] }
  const register = await registerNow(sharedPool())
  try {
    const newCode = kitCodeMaker(register.kits.map(({ code }) => code))
    const read = csvEntries(list, text, register, newCode, now)
    const { edits, lines } = await withoutRefused(read, list, sent.actor, now)
    const kept = edits.map(({ line: _, ...edit }) => edit)
    return leadTo(
      `/setup/changes/${await keepDraft(sharedPool(), sent.actor, { ...base, edits: kept, lines }, now)}`,
    )
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    const problems = [{ field: 'text', detail: error.message }]
    const id = await keepDraft(sharedPool(), sent.actor, { ...base, edits: [], problems }, now)
    return leadTo(`/setup/csv/${list}?draft=${id}`)
  }
})

/** The edits that the register would take; what it refuses becomes a fault of its line, until nothing is refused. */
async function withoutRefused(
  read: CsvEntries,
  list: RegisterList,
  actor: Actor,
  now: number,
): Promise<CsvEntries> {
  let { edits } = read
  const lines = [...read.lines]
  while (edits.length > 0) {
    const { problems } = await tryChange(sharedPool(), edits, { holdsFromAt: null, actor, now })
    const refused = new Set(problems.filter((one) => one.list === list).map(({ code }) => code))
    const left = edits.filter(({ code }) => !refused.has(code))
    if (left.length === edits.length) break
    for (const one of problems) {
      const edit = edits.find(({ code }) => one.list === list && code === one.code)
      if (edit) lines.push({ line: edit.line, detail: csvFault(list, one) })
    }
    edits = left
  }
  return { edits, lines: lines.sort((a, b) => a.line - b.line) }
}
