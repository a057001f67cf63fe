import { formValues } from '@/app/setup/forms/formValues'
import { kitContent, postedProblems } from '@/app/setup/forms/simpleForms'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { enterOrShow } from '../entering'
import { kitCodeMaker } from '../newKitCode'
import { formOf } from '../sentForm'

/** The most kits that are issued at once. */
const MOST_KITS = 400

/** Issues kits: as many new codes as are asked for, that nobody can guess and no other kit has. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/kits', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const values = formValues(sent.fields)
  const now = Date.now()
  const count = /^\d{1,3}$/.test(values.count ?? '') ? Number(values.count) : 0
  const isMany = count >= 1 && count <= MOST_KITS
  const problems = [
    ...postedProblems(values),
    ...(isMany ? [] : [{ field: 'count', detail: `Write how many, from 1 to ${MOST_KITS}.` }]),
  ]
  const newCode = kitCodeMaker((await registerNow(sharedPool())).kits.map(({ code }) => code))
  const codes = problems.length > 0 ? [] : Array.from({ length: count }, newCode)
  const issuedAt = new Date(now).toISOString()
  const edits = codes.map((code) => ({
    list: 'kits' as const,
    code,
    content: kitContent({ ...values, code, issuedAt }),
    isNew: true,
  }))
  const fields = { list: 'kits' as const, edits, holdsFromAt: null, values, problems, lines: [] }
  return enterOrShow(fields, sent.actor, now, {
    isOneForm: true,
    formPath: '/setup/add/kits',
    donePath: `/setup/kits?issued=${codes.join('.')}`,
  })
})
