import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { setDigestTime } from '@/lib/store/mail/digestTime'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Sets when in its week the programme's mail goes. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/digest/time', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const weekday = Number(form.get('weekday'))
  const [, hour, minute] = /^([01]\d|2[0-3]):([0-5]\d)$/.exec(form.get('time') ?? '') ?? []
  if (![1, 2, 3, 4, 5, 6, 7].includes(weekday) || hour === undefined) return problemReply(NO_TIME)
  const time = { weekday, minuteOfDay: Number(hour) * 60 + Number(minute) }
  await setDigestTime(sharedDoor(), time, actorOf(principal, request), Date.now())
  return leadTo('/digest')
})

const NO_TIME = problem(
  'digest-time',
  422,
  'No such time',
  'Give a weekday, from 1 for Monday to 7 for Sunday, and a time of day like 07:00.',
)
