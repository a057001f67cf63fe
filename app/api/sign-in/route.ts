import { after } from 'next/server'
import { askedCookie, askForLink } from '@/lib/access/session/byMail'
import { leadTo } from '@/lib/access/session/signedIn'
import { signInAddress, wantedPath } from '@/lib/access/session/wanted'
import { mailLink } from '@/lib/digest/delivery/signInMail'
import { isEmail } from '@/lib/policy/email'
import { answering } from '../answering'
import { askedByAnyone } from '../asked'
import { sentencePage } from '../sentencePage'
import { shortForm } from '../shortForm'

/**
 * Takes an address and mails it a link and a code, if it is someone's. The answer is the same in any case, and is
 * given before a mail is sent, so that its time tells nothing either.
 */
export const POST = answering(async (request: Request) => {
  const refusal = askedByAnyone('POST /api/sign-in', request)
  if (refusal) return refusal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const email = (form.get('email') ?? '').trim()
  const to = wantedPath(form.get('to'))
  if (!isEmail(email)) return leadTo(signInAddress(to, 'address'))
  const made = await askForLink(request, email, to)
  if ('waitSeconds' in made) {
    const minutes = Math.ceil(made.waitSeconds / 60)
    return sentencePage(
      429,
      'Too many mails were asked for.',
      `Wait ${minutes === 1 ? 'a minute' : `${minutes} minutes`}, then ask again. A mail that came already still works until it is 15 minutes old.`,
      { href: '/sign-in', name: 'Back to the sign-in' },
      { headers: { 'retry-after': String(made.waitSeconds) } },
    )
  }
  after(() => mailLink(made))
  return leadTo('/sign-in/code', [askedCookie(made.id)])
})
