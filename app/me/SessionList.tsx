import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import type { PlainMessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { ActiveSession } from '@/lib/store/people/sessions'

interface Props {
  sessions: readonly ActiveSession[]
  /** Id of the session that shows this page; null if it is not in the list. */
  here: string | null
  zone: string
  now: number
  /** Whose sessions they are, if an administrator looks at someone else's. */
  owner?: { id: string; name: string }
}

/** The sessions of a person, each with a button that ends it. `now` in ms UTC. */
export function SessionList({ sessions, here, zone, now, owner }: Props) {
  const t = useTranslate()
  const others = sessions.filter(({ id }) => id !== here).length
  const action = owner ? '/api/setup/people/sessions' : '/api/me/sessions'
  const ownerField = owner && <input type="hidden" name="person" value={owner.id} />
  return (
    <section aria-labelledby="sessions">
      <h2 id="sessions">
        {owner ? t('account.sessions.titleOther', { name: owner.name }) : t('account.sessions.title')}
      </h2>
      <div className={table.scroll}>
        <table className={`${table.table} ${table.stack}`}>
          <caption>{owner ? t('account.sessions.captionOther') : t('account.sessions.caption')}</caption>
          <thead>
            <tr>
              <th scope="col">{t('account.sessions.browser')}</th>
              <th scope="col">{t('account.sessions.address')}</th>
              <th scope="col">{t('account.sessions.since')}</th>
              <th scope="col">{t('account.sessions.seen')}</th>
              <th scope="col">
                <span className="unseen">{t('account.sessions.action')}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {sessions.map(({ id, browser, address, sinceAt, seenAt }) => (
              <tr key={id}>
                <th scope="row">
                  {describeBrowser(t, browser)}
                  {id === here && <span className={table.quiet}>{t('account.sessions.here')}</span>}
                </th>
                <td data-head={t('account.sessions.fromHead')}>
                  {address ?? t('account.sessions.noAddress')}
                </td>
                <td data-head={t('account.sessions.sinceHead')}>
                  <Instant at={sinceAt} zone={zone} now={now} />
                </td>
                <td data-head={t('account.sessions.seenHead')}>
                  <Instant at={seenAt} zone={zone} now={now} />
                </td>
                <td>
                  {id !== here && (
                    <form method="post" action={action}>
                      {ownerField}
                      <input type="hidden" name="id" value={id} />
                      <button type="submit">{t('account.sessions.end')}</button>
                    </form>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {others > 0 && (
        <form method="post" action={action}>
          {ownerField}
          <p>
            <button type="submit">
              {here === null ? t('account.sessions.endAll') : t('account.sessions.endOthers')}
            </button>
          </p>
        </form>
      )}
    </section>
  )
}

/** The first pattern that matches a user agent names its browser. Product names are the same in every language. */
const BROWSERS: [RegExp, { name: string } | { key: PlainMessageKey }][] = [
  [/Edg(e|A|iOS)?\//, { name: 'Edge' }],
  [/OPR\//, { name: 'Opera' }],
  [/Firefox\/|FxiOS\//, { name: 'Firefox' }],
  [/Chrome\/|CriOS\/|Chromium\//, { key: 'account.browser.chromium' }],
  [/Safari\//, { name: 'Safari' }],
]

const DEVICES: typeof BROWSERS = [
  [/iPhone/, { key: 'account.browser.iphone' }],
  [/iPad/, { key: 'account.browser.ipad' }],
  [/Android/, { key: 'account.browser.android' }],
  [/Windows/, { name: 'Windows' }],
  [/Mac OS X|Macintosh/, { key: 'account.browser.mac' }],
  [/CrOS/, { key: 'account.browser.chromebook' }],
  [/Linux/, { name: 'Linux' }],
]

/** The browser and device that a user agent claims: "Firefox on Windows". */
function describeBrowser(t: Translate, agent: string): string {
  const find = (patterns: typeof BROWSERS) => {
    const found = patterns.find(([pattern]) => pattern.test(agent))?.[1]
    return found && ('name' in found ? found.name : t(found.key))
  }
  const [browser, device] = [find(BROWSERS), find(DEVICES)]
  if (browser && device) return t('account.browser.on', { browser, device })
  if (device) return t('account.browser.unknownOn', { device })
  return browser ?? t('account.browser.unknown')
}
