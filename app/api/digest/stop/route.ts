import { getTranslate } from '@/app/ui/language/serverTranslate'
import { getNetworkAddress } from '@/lib/access/session/actor'
import { findTokenList, stopByToken } from '@/lib/digest/weekly/unsubscribe'
import { getSignInSecret } from '@/lib/store/site'
import { allowToken } from '../../authorize'
import { renderPlainPage } from '../../plainPage'
import { withErrorHandling } from '../../withErrorHandling'

const CHOOSE = { href: '/me', name: 'Choose what is sent to you' }

const MAILS = { weekly: 'the weekly mail', 'at once': 'mails at once' } as const

/**
 * Asks whether the mail is to stop, with a button. It changes nothing: mail scanners open every link. RFC 8058
 * has a mail program send the POST.
 */
export const GET = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  allowToken('GET /api/digest/stop')
  const token = new URL(request.url).searchParams.get('token') ?? ''
  const list = findTokenList(getSignInSecret(), token)
  const sentence =
    list === 'weekly'
      ? 'Press the button, and Holdfast sends you no weekly mail any more.'
      : 'Press the button, and Holdfast tells you of samples at once no more, those of whom you stand in for among them. The weekly mail still comes.'
  return renderPlainPage(t, 200, `Stop ${MAILS[list]}`, sentence, CHOOSE, {
    button: {
      action: `/api/digest/stop?${new URLSearchParams({ token })}`,
      name: list === 'weekly' ? 'Stop it' : 'Stop them',
    },
  })
})

/** Stops the mail of whom the token was mailed to, without a session. Doing it twice does no harm. */
export const POST = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  allowToken('POST /api/digest/stop')
  const token = new URL(request.url).searchParams.get('token') ?? ''
  const stopped = await stopByToken(getSignInSecret(), token, getNetworkAddress(request), Date.now())
  if (stopped === 'no such link')
    return renderPlainPage(
      t,
      404,
      'That link no longer works',
      'It is not whole, or you have asked for the mail again since it was sent. Sign in and choose there, or use the link of the last mail.',
      CHOOSE,
    )
  const [heading, sentence] =
    findTokenList(getSignInSecret(), token) === 'weekly'
      ? ['The weekly mail is stopped', 'Holdfast sends you none until you choose it again.']
      : ['Mails at once are stopped', 'Holdfast tells you of nothing at once until you choose it again.']
  return renderPlainPage(t, 200, heading, sentence, CHOOSE)
})
