import { describeDueDates } from '@/app/setup/describeDueDates'
import { readFormValues } from '@/app/setup/forms/formValues'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { jsonReply } from '@/lib/intake/answers/reply'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'

/** The dues that the limits in a protocol's form would give, while it is filled in: `{lines}`. */
export const GET = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  const principal = await authorize('GET /api/setup/due', request)
  if (principal instanceof Response) return principal
  const values = readFormValues(new URL(request.url).searchParams)
  return jsonReply({
    lines: describeDueDates(t, values, await readRegisterDocument(getAppPool()), Date.now()),
  })
})
