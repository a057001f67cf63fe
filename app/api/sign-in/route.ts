import { after } from 'next/server'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatRequestCookie, requestLink } from '@/lib/access/session/mailSignIn'
import { buildSignInPath, parseReturnPath } from '@/lib/access/session/returnPath'
import { redirect303 } from '@/lib/access/session/signIn'
import { sendSignInMail } from '@/lib/digest/delivery/signInMail'
import { isEmail } from '@/lib/policy/email'
import { allowAnonymous } from '../authorize'
import { renderPlainPage } from '../plainPage'
import { readShortForm } from '../shortForm'
import { withErrorHandling } from '../withErrorHandling'

/**
 * Takes an address and mails it a link and a code, if it is someone's. The answer is the same in any case, and is
 * given before a mail is sent, so that its time tells nothing either.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  const refusal = allowAnonymous('POST /api/sign-in', request)
  if (refusal) return refusal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const email = (form.get('email') ?? '').trim()
  const to = parseReturnPath(form.get('to'))
  if (!isEmail(email)) return redirect303(buildSignInPath(to, 'address'))
  const made = await requestLink(request, email, to)
  if ('waitSeconds' in made) {
    const minutes = Math.ceil(made.waitSeconds / 60)
    return renderPlainPage(
      429,
      'Too many mails were asked for.',
      `Wait ${minutes === 1 ? 'a minute' : `${minutes} minutes`}, then ask again. A mail that came already still works until it is 15 minutes old.`,
      { href: '/sign-in', name: 'Back to the sign-in' },
      { headers: { 'retry-after': String(made.waitSeconds) } },
    )
  }
  after(() => sendSignInMail(t, made))
  return redirect303('/sign-in/code', [formatRequestCookie(made.id)])
})
