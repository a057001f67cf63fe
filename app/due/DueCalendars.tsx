import secret from '@/app/keys/KeySecret.module.css'
import { Instant } from '@/app/ui/Instant'
import type { NewFeed } from '@/lib/digest/calendar/plantFeeds'
import { type CalendarFeed, MAX_FEEDS } from '@/lib/store/people/calendarFeeds'
import styles from './DueCalendars.module.css'

interface Props {
  feeds: readonly CalendarFeed[]
  /** For which the reader may make an address; by name. */
  plants: readonly { code: string; name: string }[]
  /** An address that was made just now; null where it was shown already. */
  made: NewFeed | null | undefined
  /** None was made: the plant is none of the reader's, or they have as many as one may. */
  notMade: 'none' | 'enough' | null
  revoked: string | undefined
  zone: string
  now: number
}

/** What is due in one's own calendar: the secret addresses of plants' calendars, made here and revoked here. */
export function DueCalendars({ feeds, plants, made, notMade, revoked, zone, now }: Props) {
  if (plants.length === 0) return null
  const nameOf = (code: string) => plants.find((plant) => plant.code === code)?.name ?? code
  return (
    <section className={styles.calendars} id="calendars" aria-labelledby="own">
      <h2 id="own">In your own calendar</h2>
      <p className="prose">
        A calendar program can show what is due at a plant beside everything else: make an address here, and
        enter it there as a calendar to subscribe to. Whoever has the address sees what the plant’s contacts
        see of what is due, so give it to nobody else. It works until it is revoked, or whoever made it is no
        contact of the plant any more.
      </p>
      {made && (
        <div className={secret.made} role="status">
          <h3 className={styles.made}>The address of {nameOf(made.plant)}’s calendar</h3>
          <p>
            Copy it now: it is shown this once and cannot be looked up later. Lost, revoke it and make
            another.
          </p>
          <pre className={secret.secret}>{made.address}</pre>
        </div>
      )}
      {made === null && (
        <p role="status">That address was shown already. Make another, and revoke the first.</p>
      )}
      {notMade === 'none' && (
        <p role="status">No address was made: that plant is none of yours. Choose one of those below.</p>
      )}
      {notMade === 'enough' && (
        <p role="status">You have {MAX_FEEDS} addresses of that plant already. Revoke one first.</p>
      )}
      {revoked === 'yes' && (
        <p role="status">Revoked. Calendars that had the address get nothing from it any more.</p>
      )}
      {revoked === 'none' && <p role="status">There was no such address to revoke.</p>}
      <form method="post" action="/api/due/feeds" className={styles.make}>
        {plants.length === 1 ? (
          <input type="hidden" name="plant" value={plants[0]?.code} />
        ) : (
          <label>
            <span>Plant</span>
            <select name="plant">
              {plants.map(({ code, name }) => (
                <option key={code} value={code}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
        <button type="submit">Make an address{plants.length === 1 && ` for ${plants[0]?.name}`}</button>
      </form>
      {feeds.length > 0 && (
        <ul className={styles.feeds}>
          {feeds.map((feed) => (
            <li key={feed.id}>
              <p>
                {nameOf(feed.plant)}: made by {feed.madeBy} <Instant at={feed.madeAt} zone={zone} now={now} />
                ,{' '}
                {feed.lastReadAt === null ? (
                  'never read'
                ) : (
                  <>
                    last read <Instant at={feed.lastReadAt} zone={zone} now={now} />
                  </>
                )}
                .{!feed.isWorking && ' It does not work: who made it is no contact of the plant any more.'}
              </p>
              <details>
                <summary>
                  Revoke
                  <span className="unseen">
                    {' '}
                    the address of {nameOf(feed.plant)} by {feed.madeBy}
                  </span>
                </summary>
                <form method="post" action={`/api/due/feeds/${feed.id}/revoke`}>
                  <p>Calendars that read it get nothing more, at once and for good.</p>
                  <button type="submit">Revoke now</button>
                </form>
              </details>
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}
