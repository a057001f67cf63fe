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
 * Mails a link and a code if the address is someone's. The answer is the same in any case and is sent before the
 * mail, so that its timing reveals nothing either.
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
    return renderPlainPage(
      t,
      429,
      t('signIn.tooMany.heading'),
      t('signIn.tooMany.detail', { minutes: Math.ceil(made.waitSeconds / 60) }),
      { href: '/sign-in', name: t('signIn.tooMany.back') },
      { headers: { 'retry-after': String(made.waitSeconds) } },
    )
  }
  after(() => sendSignInMail(t, made))
  return redirect303('/sign-in/code', [formatRequestCookie(made.id)])
})
