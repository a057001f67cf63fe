import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import secret from '@/app/keys/KeySecret.module.css'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import type { NewFeed } from '@/lib/digest/calendar/plantFeeds'
import { type CalendarFeed, MAX_FEEDS } from '@/lib/store/people/calendarFeeds'
import styles from './DueCalendars.module.css'

interface Props {
  feeds: readonly CalendarFeed[]
  /** The plants that the viewer may create an address for, by name. */
  plants: readonly { code: string; name: string }[]
  /** An address that was created just now; null if it was shown before. */
  made: NewFeed | null | undefined
  /** Why no address was created: the plant is not the viewer’s, or they have as many as allowed. */
  notMade: 'none' | 'enough' | null
  revoked: string | undefined
  zone: string
  now: number
}

/** The secret addresses under which calendar programs read what is due at a plant: created here and revoked here. */
export function DueCalendars({ feeds, plants, made, notMade, revoked, zone, now }: Props) {
  const t = useTranslate()
  if (plants.length === 0) return null
  const getName = (code: string) => plants.find((plant) => plant.code === code)?.name ?? code
  return (
    <section className={styles.calendars} id="calendars" aria-labelledby="own">
      <h2 id="own">{t('due.calendar.title')}</h2>
      <p className="prose">{t('due.calendar.intro')}</p>
      {made && (
        <div className={secret.made} role="status">
          <h3 className={styles.made}>{t('due.calendar.newAddress', { plant: getName(made.plant) })}</h3>
          <p>{t('due.calendar.copyNow')}</p>
          <pre className={secret.secret}>{made.address}</pre>
        </div>
      )}
      {made === null && <p role="status">{t('due.calendar.alreadyShown')}</p>}
      {notMade === 'none' && <p role="status">{t('due.calendar.notYours')}</p>}
      {notMade === 'enough' && <p role="status">{t('due.calendar.enough', { max: MAX_FEEDS })}</p>}
      {revoked === 'yes' && <p role="status">{t('due.calendar.revoked')}</p>}
      {revoked === 'none' && <p role="status">{t('due.calendar.notFound')}</p>}
      <CreateForm plants={plants} />
      {feeds.length > 0 && (
        <ul className={styles.feeds}>
          {feeds.map((feed) => (
            <li key={feed.id}>
              <Feed feed={feed} plant={getName(feed.plant)} zone={zone} now={now} />
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

function CreateForm({ plants }: Pick<Props, 'plants'>) {
  const t = useTranslate()
  const only = plants.length === 1 ? plants[0] : undefined
  return (
    <form method="post" action="/api/due/feeds" className={styles.make}>
      {only ? (
        <input type="hidden" name="plant" value={only.code} />
      ) : (
        <label>
          <span>{t('due.calendar.plant')}</span>
          <select name="plant">
            {plants.map(({ code, name }) => (
              <option key={code} value={code}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      <button type="submit">
        {only ? t('due.calendar.createFor', { plant: only.name }) : t('due.calendar.create')}
      </button>
    </form>
  )
}

/** One address: who created it, when it was last read, and a form to revoke it. */
function Feed({ feed, plant, zone, now }: { feed: CalendarFeed; plant: string; zone: string; now: number }) {
  const t = useTranslate()
  const toInstant = (at: number) => <Instant at={at} zone={zone} now={now} />
  const values = { plant, name: feed.madeBy, created: toInstant(feed.madeAt) }
  return (
    <>
      <p>
        {feed.lastReadAt === null
          ? rich(t, 'due.calendar.neverRead', values)
          : rich(t, 'due.calendar.lastRead', { ...values, read: toInstant(feed.lastReadAt) })}
        {!feed.isWorking && ` ${t('due.calendar.notWorking')}`}
      </p>
      <details>
        <summary>
          {rich(t, 'due.calendar.revoke', {
            plant,
            name: feed.madeBy,
            unseen: (text: ReactNode) => <span className="unseen">{text}</span>,
          })}
        </summary>
        <form method="post" action={`/api/due/feeds/${feed.id}/revoke`}>
          <p>{t('due.calendar.revokeHint')}</p>
          <button type="submit">{t('due.calendar.revokeNow')}</button>
        </form>
      </details>
    </>
  )
}
