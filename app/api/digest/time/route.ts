import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { english } from '@/lib/messages/english'
import { setDigestTime } from '@/lib/store/mail/digestTime'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Sets the weekday and time of the weekly mail. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/digest/time', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const weekday = Number(form.get('weekday'))
  const [, hour, minute] = /^([01]\d|2[0-3]):([0-5]\d)$/.exec(form.get('time') ?? '') ?? []
  if (![1, 2, 3, 4, 5, 6, 7].includes(weekday) || hour === undefined) return problemReply(NO_TIME)
  const time = { weekday, minuteOfDay: Number(hour) * 60 + Number(minute) }
  await setDigestTime(getAuthPool(), time, toActor(principal, request), Date.now())
  return redirect303('/digest')
})

const NO_TIME = problem(
  'digest-time',
  422,
  english('mailPage.problem.time'),
  english('mailPage.problem.time.detail'),
)
