import { countSecretUse, lookUpSecret } from '@/lib/access/guard'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { buildFeedEntries } from '@/lib/judgement/feedEntries'
import { renderCalendar } from '@/lib/judgement/renderCalendar'
import { english } from '@/lib/messages/english'
import { findFeedByHash, findPlantPlace, versionEntries } from '@/lib/store/people/calendarFeeds'
import { hashSecret } from '@/lib/store/people/keys'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSiteUrl } from '@/lib/store/site'
import { allowToken, tooManyRequestsReply } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'

/** Half a year. */
const AHEAD_DAYS = 183

type Context = { params: Promise<{ secret: string }> }

/**
 * What is due and overdue at one plant, as iCalendar, for whoever has its secret address. It takes no session. In
 * English whatever the program asks for: all readers of a plant share the versions of its entries, so an entry in two
 * languages would count as changed at every request.
 */
export const GET = withErrorHandling(async (request: Request, { params }: Context) => {
  allowToken('GET /api/calendar/[secret]')
  const hash = hashSecret((await params).secret)
  const now = Date.now()
  const feed = await lookUpSecret('GET /api/calendar/[secret]', request, () =>
    findFeedByHash(getAuthPool(), hash, now),
  )
  if (feed === null) return problemReply(NO_CALENDAR)
  const waitSeconds = 'waitSeconds' in feed ? feed.waitSeconds : await countSecretUse(feed.personId)
  if ('waitSeconds' in feed || waitSeconds > 0)
    return tooManyRequestsReply(waitSeconds, english('feed.tooSoon'))
  const place = await findPlantPlace(getAppPool(), feed.plant)
  if (place === null) return problemReply(NO_CALENDAR)
  const work = await getDueWork(getAppPool(), { plants: [feed.plant], laboratories: [] }, now, AHEAD_DAYS)
  const site = { plant: feed.plant, url: getSiteUrl() }
  const due = buildFeedEntries(english, work, feed.plant, place.zone, now)
  const entries = await versionEntries(getAuthPool(), site, due, now)
  return new Response(renderCalendar(english('feed.name', { plant: place.name }), site.url, entries), {
    headers: {
      'content-type': 'text/calendar; charset=utf-8',
      'content-disposition': 'inline; filename="due.ics"',
      'cache-control': 'no-store',
    },
  })
})

const NO_CALENDAR = problem(
  'no-such-calendar',
  404,
  english('feed.missing.title'),
  english('feed.missing.detail'),
)
