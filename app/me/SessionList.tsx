import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import type { Translate } from '@/lib/messages/translate'
import type { ActiveSession } from '@/lib/store/people/sessions'

interface Props {
  sessions: readonly ActiveSession[]
  /** The session of the page itself. */
  here: string | null
  zone: string
  now: number
  /** The person whose they are, where an administrator looks at another's. */
  owner?: { id: string; name: string }
}

/** Where a person is signed in, with a button to end each. */
export function SessionList({ sessions, here, zone, now, owner: of }: Props) {
  const t = useTranslate()
  const others = sessions.filter(({ id }) => id !== here).length
  const action = of ? '/api/setup/people/sessions' : '/api/me/sessions'
  const whose = of && <input type="hidden" name="person" value={of.id} />
  return (
    <section aria-labelledby="sessions">
      <h2 id="sessions">
        Where {of ? of.name : 'you'} {of ? 'is' : 'are'} signed in
      </h2>
      <div className={table.scroll}>
        <table className={`${table.table} ${table.stack}`}>
          <caption>
            {of ? 'An ended one is out at once, and on record.' : 'One that you do not know: end it.'}
          </caption>
          <thead>
            <tr>
              <th scope="col">With</th>
              <th scope="col">From</th>
              <th scope="col">Since</th>
              <th scope="col">Last seen</th>
              <th scope="col">
                <span className="unseen">End it</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {sessions.map(({ id, browser, address, sinceAt, seenAt }) => (
              <tr key={id}>
                <th scope="row">
                  {describeBrowser(t, browser)}
                  {id === here && <span className={table.quiet}>this one</span>}
                </th>
                <td data-head="from">{address ?? 'not known'}</td>
                <td data-head="since">
                  <Instant at={sinceAt} zone={zone} now={now} />
                </td>
                <td data-head="last seen">
                  <Instant at={seenAt} zone={zone} now={now} />
                </td>
                <td>
                  {id !== here && (
                    <form method="post" action={action}>
                      {whose}
                      <input type="hidden" name="id" value={id} />
                      <button type="submit">End</button>
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
          {whose}
          <p>
            <button type="submit">{here === null ? 'End all' : 'End all others'}</button>
          </p>
        </form>
      )}
    </section>
  )
}

const BROWSERS: [RegExp, string][] = [
  [/Edg(e|A|iOS)?\//, 'Edge'],
  [/OPR\//, 'Opera'],
  [/Firefox\/|FxiOS\//, 'Firefox'],
  [/Chrome\/|CriOS\/|Chromium\//, 'Chrome or a browser of its kind'],
  [/Safari\//, 'Safari'],
]

const DEVICES: [RegExp, string][] = [
  [/iPhone/, 'an iPhone'],
  [/iPad/, 'an iPad'],
  [/Android/, 'an Android device'],
  [/Windows/, 'Windows'],
  [/Mac OS X|Macintosh/, 'a Mac'],
  [/CrOS/, 'a Chromebook'],
  [/Linux/, 'Linux'],
]

/** What a browser says it is, as words: "Firefox on Windows". It is the browser's own claim. */
function describeBrowser(t: Translate, agent: string): string {
  const browser = BROWSERS.find(([pattern]) => pattern.test(agent))?.[1] ?? 'A browser that does not say'
  const machine = DEVICES.find(([pattern]) => pattern.test(agent))?.[1]
  return machine ? `${browser} on ${machine}` : browser
}
