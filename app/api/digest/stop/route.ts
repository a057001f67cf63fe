import { networkAddress } from '@/lib/access/session/actor'
import { listOfToken, stopByToken } from '@/lib/digest/weekly/unsubscribe'
import { sharedSecret } from '@/lib/store/site'
import { answering } from '../../answering'
import { askedByBearer } from '../../asked'
import { sentencePage } from '../../sentencePage'

const CHOOSE = { href: '/me', name: 'Choose what is sent to you' }

const MAILS = { weekly: 'the weekly mail', 'at once': 'mails at once' } as const

/**
 * Asks whether the mail is to stop, with a button. It changes nothing: mail scanners open every link. RFC 8058
 * has a mail program send the POST.
 */
export const GET = answering(async (request: Request) => {
  askedByBearer('GET /api/digest/stop')
  const token = new URL(request.url).searchParams.get('token') ?? ''
  const list = listOfToken(sharedSecret(), token)
  const sentence =
    list === 'weekly'
      ? 'Press the button, and Holdfast sends you no weekly mail any more.'
      : 'Press the button, and Holdfast tells you of samples at once no more, those of whom you stand in for among them. The weekly mail still comes.'
  return sentencePage(200, `Stop ${MAILS[list]}`, sentence, CHOOSE, {
    press: {
      action: `/api/digest/stop?${new URLSearchParams({ token })}`,
      name: list === 'weekly' ? 'Stop it' : 'Stop them',
    },
  })
})

/** Stops the mail of whom the token was mailed to, without a session. Doing it twice does no harm. */
export const POST = answering(async (request: Request) => {
  askedByBearer('POST /api/digest/stop')
  const token = new URL(request.url).searchParams.get('token') ?? ''
  const stopped = await stopByToken(sharedSecret(), token, networkAddress(request), Date.now())
  if (stopped === 'no such link')
    return sentencePage(
      404,
      'That link no longer works',
      'It is not whole, or you have asked for the mail again since it was sent. Sign in and choose there, or use the link of the last mail.',
      CHOOSE,
    )
  const [heading, sentence] =
    listOfToken(sharedSecret(), token) === 'weekly'
      ? ['The weekly mail is stopped', 'Holdfast sends you none until you choose it again.']
      : ['Mails at once are stopped', 'Holdfast tells you of nothing at once until you choose it again.']
  return sentencePage(200, heading, sentence, CHOOSE)
})
