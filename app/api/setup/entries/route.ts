import { ENTRY_FORMS, getEntryCode, isRegisterList, mergeContent } from '@/app/setup/forms/entryForms'
import { EFFECTIVE_DATED_LISTS, parseHoldsFrom, readFormValues } from '@/app/setup/forms/formValues'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { readSetupForm } from '../readSetupForm'
import { saveOrPreview } from '../saveOrPreview'

/** Adds, changes or deletes one entry of the register. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/entries', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const values = readFormValues(sent.fields)
  const { list = '' } = values
  if (!isRegisterList(list))
    return problemReply(problem('unreadable-body', 400, 'Not a form', 'Send the form of the page.'))
  const now = Date.now()
  const code = getEntryCode(list, values)
  const isNew = values.isNew === 'yes'
  const known = (await readRegisterDocument(getAppPool()))[list].find((one) => one.code === code)
  const { content, problems } = ENTRY_FORMS[list].parse(values)
  const holds = EFFECTIVE_DATED_LISTS.includes(list)
    ? parseHoldsFrom(values, list === 'laboratories' ? (values.zone ?? null) : null, now)
    : { holdsFromAt: null, problems: [] }
  const isRemoval = values.act === 'remove'
  const edit = isRemoval
    ? { list, code, content: null }
    : { list, code, content: isNew ? content : mergeContent(known, content), isNew }
  const formPath = isNew ? `/setup/add/${list}` : `/setup/${list}/${encodeURIComponent(code)}`
  return saveOrPreview(
    {
      list,
      edits: [edit],
      holdsFromAt: holds.holdsFromAt,
      values,
      problems: isRemoval ? [] : [...problems, ...holds.problems],
      lines: [],
    },
    sent.actor,
    now,
    { formPath, donePath: `/setup/${list}?entered=${encodeURIComponent(code)}` },
  )
})
