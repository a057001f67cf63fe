import { dueSentences } from '@/app/setup/dueSentences'
import { formValues } from '@/app/setup/forms/formValues'
import { jsonReply } from '@/lib/intake/answers/reply'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'

/** What the limits of a protocol's form would mean, while it is being filled in: `{lines}`. */
export const GET = answering(async (request: Request) => {
  const principal = await asked('GET /api/setup/due', request)
  if (principal instanceof Response) return principal
  const values = formValues(new URL(request.url).searchParams)
  return jsonReply({ lines: dueSentences(values, await registerNow(sharedPool()), Date.now()) })
})
