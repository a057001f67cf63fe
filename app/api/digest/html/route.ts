import { getMailSite } from '@/lib/digest/delivery/mail'
import { previewNextMail, readSentMail } from '@/lib/digest/delivery/shownMails'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { english } from '@/lib/messages/english'
import { seesAll } from '@/lib/policy/personRoles'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'

/**
 * The HTML of a mail, for a frame of the page of mails: a past one as it was sent, or without `occasion` the next weekly
 * one. Administrators may see anyone's; others get their own, whomever they name.
 */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/digest/html', request)
  if (principal instanceof Response) return principal
  if (principal.kind !== 'person') return problemReply(NO_MAIL)
  const query = new URL(request.url).searchParams
  const { isAdministrator } = principal.roles
  const of = isAdministrator ? (query.get('of') ?? principal.id) : principal.id
  const occasion = query.get('occasion')
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

const NO_MAIL = problem(
  'no-mail',
  404,
  english('mailPage.problem.noMail'),
  english('mailPage.problem.noMail.detail'),
)
