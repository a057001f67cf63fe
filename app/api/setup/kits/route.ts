import { readFormValues } from '@/app/setup/forms/formValues'
import { findPostedProblems, parseKit } from '@/app/setup/forms/simpleForms'
import { message } from '@/lib/messages/message'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { createKitCodeGenerator } from '../kitCodeGenerator'
import { readSetupForm } from '../readSetupForm'
import { saveOrPreview } from '../saveOrPreview'

const MAX_KITS = 400

/** Issues kits with new, unguessable codes. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/kits', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const values = readFormValues(sent.fields)
  const now = Date.now()
  const count = /^\d{1,3}$/.test(values.count ?? '') ? Number(values.count) : 0
  const isMany = count >= 1 && count <= MAX_KITS
  const problems = [
    ...findPostedProblems(values),
    ...(isMany ? [] : [{ field: 'count', detail: message('setup.fault.count', { max: MAX_KITS }) }]),
  ]
  const newCode = createKitCodeGenerator(
    (await readRegisterDocument(getAppPool())).kits.map(({ code }) => code),
  )
  const codes = problems.length > 0 ? [] : Array.from({ length: count }, newCode)
  const issuedAt = new Date(now).toISOString()
  const edits = codes.map((code) => ({
    list: 'kits' as const,
    code,
    content: parseKit({ ...values, code, issuedAt }),
    isNew: true,
  }))
  const fields = { list: 'kits' as const, edits, holdsFromAt: null, values, problems, lines: [] }
  return saveOrPreview(fields, sent.actor, now, {
    isOneForm: true,
    formPath: '/setup/add/kits',
    donePath: `/setup/kits?issued=${codes.join('.')}`,
  })
})
