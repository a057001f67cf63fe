import { getTranslate } from '@/app/ui/language/serverTranslate'
import { lookUpSecret } from '@/lib/access/guard'
import { consumeLink } from '@/lib/access/session/mailSignIn'
import { buildSignInPath } from '@/lib/access/session/returnPath'
import { redirect303, signIn } from '@/lib/access/session/signIn'
import { allowAnonymous } from '../../authorize'
import { renderPlainPage } from '../../plainPage'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Uses up a mailed link, and signs its person in. Too many that are none are 429; one that works never is. */
export const POST = withErrorHandling(async (request: Request) => {
  const refusal = allowAnonymous('POST /api/sign-in/link', request)
  if (refusal) return refusal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const admitted = await lookUpSecret('POST /api/sign-in/link', request, () =>
    consumeLink(form.get('token') ?? ''),
  )
  if (admitted && 'waitSeconds' in admitted) {
    const t = await getTranslate()
    const seconds = admitted.waitSeconds
    return renderPlainPage(
      t,
      429,
      t('signIn.link.tooMany.heading'),
      t('signIn.link.tooMany.detail', { seconds }),
      { href: '/sign-in', name: t('signIn.tooMany.back') },
      { headers: { 'retry-after': String(seconds) } },
    )
  }
  const response = admitted && (await signIn(request, admitted.personId, 'link', admitted.wanted))
  return response ?? redirect303(buildSignInPath(null, 'link'))
})
