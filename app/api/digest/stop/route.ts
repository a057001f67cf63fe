import { getTranslate } from '@/app/ui/language/serverTranslate'
import { getNetworkAddress } from '@/lib/access/session/actor'
import { findTokenList, stopByToken } from '@/lib/digest/weekly/unsubscribe'
import type { Translate } from '@/lib/messages/translate'
import { getSignInSecret } from '@/lib/store/site'
import { allowToken } from '../../authorize'
import { renderPlainPage } from '../../plainPage'
import { withErrorHandling } from '../../withErrorHandling'

const linkToChoices = (t: Translate) => ({ href: '/me', name: t('mail.footer.choose') })

/** Asks whether to stop the mail, with a button. A GET changes nothing, since mail scanners open every link. */
export const GET = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  allowToken('GET /api/digest/stop')
  const token = new URL(request.url).searchParams.get('token') ?? ''
  const isWeekly = findTokenList(getSignInSecret(), token) === 'weekly'
  const heading = t(isWeekly ? 'mailPage.stop.weekly' : 'mailPage.stop.alerts')
  const sentence = t(isWeekly ? 'mailPage.stop.weekly.ask' : 'mailPage.stop.alerts.ask')
  return renderPlainPage(t, 200, heading, sentence, linkToChoices(t), {
    button: { action: `/api/digest/stop?${new URLSearchParams({ token })}`, name: heading },
  })
})

/** Stops the mail of the token's person, without a session: mail programs send this POST (RFC 8058). Idempotent. */
export const POST = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  allowToken('POST /api/digest/stop')
  const token = new URL(request.url).searchParams.get('token') ?? ''
  const stopped = await stopByToken(getSignInSecret(), token, getNetworkAddress(request), Date.now())
  if (stopped === 'no such link')
    return renderPlainPage(
      t,
      404,
      t('mailPage.stopped.unknown'),
      t('mailPage.stopped.unknown.detail'),
      linkToChoices(t),
    )
  const isWeekly = findTokenList(getSignInSecret(), token) === 'weekly'
  return renderPlainPage(
    t,
    200,
    t(isWeekly ? 'mailPage.stopped.weekly' : 'mailPage.stopped.alerts'),
    t(isWeekly ? 'mailPage.stopped.weekly.detail' : 'mailPage.stopped.alerts.detail'),
    linkToChoices(t),
  )
})
