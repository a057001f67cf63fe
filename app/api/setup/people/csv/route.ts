import type { PeopleDraft } from '@/app/setup/draft'
import { parsePeopleCsv, toPeopleRows } from '@/app/setup/forms/peopleCsv'
import { UnusableCsv } from '@/app/setup/forms/unusableCsv'
import { listPeople } from '@/lib/access/people/managePeople'
import { recordDownload } from '@/lib/access/session/recordDownload'
import { redirect303 } from '@/lib/access/session/signIn'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { saveDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../../authorize'
import { withErrorHandling } from '../../../withErrorHandling'
import { readPastedList, readSetupForm } from '../../readSetupForm'

/** All people as the CSV that POST takes. */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/setup/people/csv', request)
  if (principal instanceof Response) return principal
  const [header = [], ...rows] = toPeopleRows(await listPeople())
  await recordDownload(principal, request, { what: 'downloaded the list of people', rows: rows.length })
  return csvReply('people', [[header, ...rows]])
})

/** Takes a list of people, pasted or as a file, and leads to a preview of its changes. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/people/csv', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const peopleCsv = await readPastedList(sent.fields)
  const keep = (problems: PeopleDraft['problems']) =>
    saveDraft(getAppPool(), sent.actor, { peopleCsv, problems } satisfies PeopleDraft, Date.now())
  try {
    parsePeopleCsv(peopleCsv, await readRegisterDocument(getAppPool()))
    return redirect303(`/setup/people/changes/${await keep([])}`)
  } catch (error) {
    if (!(error instanceof UnusableCsv)) throw error
    return redirect303(`/setup/csv/people?draft=${await keep([{ field: 'text', detail: error.detail }])}`)
  }
})
