import type { PeopleDraft } from '@/app/setup/draft'
import { peopleTable, readPeopleCsv } from '@/app/setup/forms/peopleCsv'
import { people } from '@/lib/access/people/enterPeople'
import { leadTo } from '@/lib/access/session/signedIn'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { keepDraft } from '@/lib/store/register/setupDraft'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../../answering'
import { asked } from '../../../asked'
import { formOf, listIn } from '../../sentForm'

/** Everyone as the CSV that can be sent here again. */
export const GET = answering(async (request: Request) => {
  const principal = await asked('GET /api/setup/people/csv', request)
  if (principal instanceof Response) return principal
  return csvReply('people', [peopleTable(await people())])
})

/** Takes a list of people, pasted or as a file, and leads to what it would change; nothing is done yet. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/people/csv', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const peopleCsv = await listIn(sent.fields)
  const keep = (problems: PeopleDraft['problems']) =>
    keepDraft(sharedPool(), sent.actor, { peopleCsv, problems } satisfies PeopleDraft, Date.now())
  try {
    readPeopleCsv(peopleCsv, await registerNow(sharedPool()))
    return leadTo(`/setup/people/changes/${await keep([])}`)
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    return leadTo(`/setup/csv/people?draft=${await keep([{ field: 'text', detail: error.message }])}`)
  }
})
