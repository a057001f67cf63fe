import { getMailSite } from '@/lib/digest/delivery/mail'
import { previewNextMail, readSentMail } from '@/lib/digest/delivery/shownMails'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { seesAll } from '@/lib/policy/personRoles'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'

/**
 * A mail in HTML, for a frame of the page of mails: that of an occasion as it was sent, else the next weekly one. An
 * administrator may ask for anyone's; others are shown their own, whomever they name.
 */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/digest/html', request)
  if (principal instanceof Response) return principal
  if (principal.kind !== 'person') return problemReply(NO_MAIL)
  const asks = new URL(request.url).searchParams
  const { isAdministrator } = principal.roles
  const of = isAdministrator ? (asks.get('of') ?? principal.id) : principal.id
  const occasion = asks.get('occasion')
  const now = Date.now()
  const mail =
    occasion === null
      ? await previewNextMail(of, getMailSite(), now)
      : await readSentMail(of, occasion, seesAll(principal.roles), now)
  if (!mail?.html) return problemReply(NO_MAIL)
  return new Response(mail.html.replace('<head>', '<head>\n<base target="_blank">'), {
    headers: { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store' },
  })
})

const NO_MAIL = problem('no-mail', 404, 'No such mail', 'No such mail was made.')
