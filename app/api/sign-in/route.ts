import { after } from 'next/server'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatRequestCookie, requestLink } from '@/lib/access/session/mailSignIn'
import { countPage } from '@/lib/access/session/pageLimit'
import { buildSignInPath, parseReturnPath } from '@/lib/access/session/returnPath'
import { redirect303 } from '@/lib/access/session/signIn'
import { sendSignInMail } from '@/lib/digest/delivery/signInMail'
import type { Translate } from '@/lib/messages/translate'
import { isEmail } from '@/lib/policy/email'
import { allowAnonymous } from '../authorize'
import { renderPlainPage } from '../plainPage'
import { readShortForm } from '../shortForm'
import { withErrorHandling } from '../withErrorHandling'

/**
 * Mails a link and a code if the address is someone's. The answer is the same in any case and is sent before the
 * mail, so that its timing reveals nothing either. Counts as a page, since anyone may ask.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  const refusal = allowAnonymous('POST /api/sign-in', request)
  if (refusal) return refusal
  const seconds = await countPage(request.headers, '/api/sign-in')
  if (seconds > 0) return renderLimit(t, seconds)
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const email = (form.get('email') ?? '').trim()
  const to = parseReturnPath(form.get('to'))
  if (!isEmail(email)) return redirect303(buildSignInPath(to, 'address'))
  const made = await requestLink(request, email, to)
  if ('waitSeconds' in made) {
    return renderPlainPage(
      t,
      429,
      t('signIn.tooMany.heading'),
      t('signIn.tooMany.detail', { minutes: Math.ceil(made.waitSeconds / 60) }),
      { href: buildSignInPath(to), name: t('signIn.tooMany.back') },
      {
        headers: { 'retry-after': String(made.waitSeconds) },
        firstLink: { href: '/sign-in/code', name: t('signIn.tooMany.code') },
      },
    )
  }
  after(() => sendSignInMail(t, made))
  // Without a code, the browser keeps the request whose code it may still have.
  if (made.code === null) return redirect303('/sign-in/code?only=link')
  return redirect303('/sign-in/code', [formatRequestCookie(made.id)])
})

function renderLimit(t: Translate, seconds: number): Response {
  const words = [t('site.limit.heading'), t('site.limit.cause', { seconds: String(seconds) })] as const
  const link = { href: '/sign-in', name: t('signIn.tooMany.back') }
  return renderPlainPage(t, 429, ...words, link, { headers: { 'retry-after': String(seconds) } })
}
