import { codeIn, ENTRY_FORMS, isRegisterList, mergedContent } from '@/app/setup/forms/entryForms'
import { formValues, HOLDING_FROM, holdsFromOf } from '@/app/setup/forms/formValues'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { enterOrShow } from '../entering'
import { formOf } from '../sentForm'

/** Takes the form of one entry of the register: adds it, changes it or takes it out. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/entries', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const values = formValues(sent.fields)
  const { list = '' } = values
  if (!isRegisterList(list))
    return problemReply(problem('unreadable-body', 400, 'Not a form', 'Send the form of the page.'))
  const now = Date.now()
  const code = codeIn(list, values)
  const isNew = values.isNew === 'yes'
  const known = (await registerNow(sharedPool()))[list].find((one) => one.code === code)
  const { content, problems } = ENTRY_FORMS[list].content(values)
  const holds = HOLDING_FROM.includes(list)
    ? holdsFromOf(values, list === 'laboratories' ? (values.zone ?? null) : null, now)
    : { holdsFromAt: null, problems: [] }
  const isRemoval = values.act === 'remove'
  const edit = isRemoval
    ? { list, code, content: null }
    : { list, code, content: isNew ? content : mergedContent(known, content), isNew }
  const formPath = isNew ? `/setup/add/${list}` : `/setup/${list}/${encodeURIComponent(code)}`
  return enterOrShow(
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
