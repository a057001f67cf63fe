import { holderOf } from '@/lib/access/guard'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { feedEntries } from '@/lib/judgement/feedEntries'
import { feedText } from '@/lib/judgement/feedText'
import { feedOfHash, plantPlace, stampEntries } from '@/lib/store/people/calendarFeeds'
import { hashOfSecret } from '@/lib/store/people/keys'
import { dueWork } from '@/lib/store/read/due/dueWork'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { siteUrl } from '@/lib/store/site'
import { answering } from '../../answering'
import { askedByBearer, waitReply } from '../../asked'

/** How far ahead a calendar looks, in days: half a year. */
const AHEAD_DAYS = 183

type Context = { params: Promise<{ secret: string }> }

/** What is due and overdue at one plant, as iCalendar, to whoever has its secret address. No session is asked for. */
export const GET = answering(async (request: Request, { params }: Context) => {
  askedByBearer('GET /api/calendar/[secret]')
  const hash = hashOfSecret((await params).secret)
  const now = Date.now()
  const feed = await holderOf('GET /api/calendar/[secret]', request, () =>
    feedOfHash(sharedDoor(), hash, now),
  )
  if (feed === null) return problemReply(NO_CALENDAR)
  if ('waitSeconds' in feed)
    return waitReply(feed.waitSeconds, 'A calendar program asks once an hour at most.')
  const place = await plantPlace(sharedPool(), feed.plant)
  if (place === null) return problemReply(NO_CALENDAR)
  const work = await dueWork(sharedPool(), { plants: [feed.plant], laboratories: [] }, now, AHEAD_DAYS)
  const site = { plant: feed.plant, url: siteUrl() }
  const due = feedEntries(work, feed.plant, place.zone, now)
  const entries = await stampEntries(sharedDoor(), site, due, now)
  return new Response(feedText(`Due at ${place.name}`, site.url, entries), {
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
  'No such calendar',
  'This address is not whole, was revoked, or whoever made it is no contact of the plant any more. A new one is made on the page of what is due.',
)
