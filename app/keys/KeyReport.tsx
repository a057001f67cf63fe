import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import { formatList } from '@/app/ui/words/number'
import type { NewKey } from '@/lib/access/keys/newKey'
import type { Translate } from '@/lib/messages/translate'
import type { ListedKey } from '@/lib/store/people/keys'
import own from './KeyReport.module.css'
import styles from './KeySecret.module.css'

/**
 * The keys for machines. `made`: the key that was made just now; null where its secret has been shown already,
 * undefined where none was made. `now` in ms UTC.
 */
export function KeyReport({
  keys,
  made,
  revoked,
  now,
}: {
  keys: readonly ListedKey[]
  made: NewKey | null | undefined
  revoked: string | undefined
  now: number
}) {
  return (
    <>
      <h1>Keys for machines</h1>
      <p className="prose">
        A scanner at a dock, a laboratory’s system or a script reports with a key. Each key speaks for the
        sources that it is given and for nothing else, and what it reports of a sample that is not its own
        does nothing. Make one for each machine, so that one can be revoked without the others.
      </p>
      <p>
        <a href="/keys/new">Make a key</a>
      </p>
      {made && <KeySecret made={made} />}
      {made === null && (
        <p role="status">
          The secret was shown already and is not kept. If it is lost, revoke the key and make another.
        </p>
      )}
      {revoked === 'yes' && <p role="status">The key is revoked. The next request with it is refused.</p>}
      {revoked === 'none' && <p role="status">There was no such key to revoke, or it was revoked before.</p>}
      {keys.length > 0 ? (
        <KeyTable keys={keys} now={now} />
      ) : (
        <p>There is no key yet. Until there is one, only people report.</p>
      )}
    </>
  )
}

/** The secret of a key that was made just now, and how to send with it. */
function KeySecret({ made: { id, name, secret, mustSign } }: { made: NewKey }) {
  return (
    <section className={styles.made} aria-labelledby="made">
      <h2 id="made">The secret of “{name}”</h2>
      <p>Put it where the machine reads it, now: it is shown this once, and only its hash is kept.</p>
      <pre className={styles.secret}>{secret}</pre>
      {mustSign ? (
        <p>
          The machine does not send it, but signs with it (RFC 9421, hmac-sha256): key id <code>{id}</code>,
          the HMAC key is the SHA-256 of the secret’s text, and <code>@method</code>, <code>@path</code> and{' '}
          <code>content-digest</code> are signed, with <code>created</code>. The README has the details.
        </p>
      ) : (
        <p>
          The machine sends it with each request as <code>Authorization: Bearer</code>, or{' '}
          <code>npm run load</code> reads it from <code>HOLDFAST_KEY</code>.
        </p>
      )}
    </section>
  )
}

/** The keys with what each may do, when it was last used, and a way to revoke it. Times are UTC. */
function KeyTable({ keys, now }: { keys: readonly ListedKey[]; now: number }) {
  const t = useTranslate()
  return (
    <div className={table.scroll}>
      <table className={`${table.table} ${table.stack} ${own.keys}`}>
        <caption>Those that work first, then the revoked; the newest of each first</caption>
        <thead>
          <tr>
            <th scope="col">Key</th>
            <th scope="col">Speaks for</th>
            <th scope="col">Reports</th>
            <th scope="col">Last used</th>
            <th scope="col">Works until</th>
            <th scope="col">Made</th>
          </tr>
        </thead>
        <tbody>
          {keys.map((key) => (
            <tr key={key.id}>
              <th scope="row">
                {key.name}
                <span className={table.quiet}>
                  id <code>{key.id}</code>
                </span>
              </th>
              <td data-head="speaks for">{formatList(t, key.sources)}</td>
              <td data-head="reports">
                {key.kinds === null ? 'every kind' : formatList(t, key.kinds)} of {formatReach(t, key)}
                {listKeyNotes(t, key).map((note) => (
                  <span key={note} className={table.quiet}>
                    {note}
                  </span>
                ))}
              </td>
              <td data-head="last used">
                {key.lastUsedAt === null ? 'never' : <Instant at={key.lastUsedAt} zone="UTC" now={now} />}
              </td>
              <td data-head="works until">
                <Until listedKey={key} now={now} />
              </td>
              <td data-head="made">
                <Instant at={key.createdAt} zone="UTC" now={now} />
                <span className={table.quiet}>by {key.createdBy}</span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Until({ listedKey, now }: { listedKey: ListedKey; now: number }) {
  const { id, name, expiresAt, revokedAt } = listedKey
  const state = getKeyState(listedKey, now)
  if (revokedAt !== null)
    return (
      <>
        <b className={own.over}>revoked</b> <Instant at={revokedAt} zone="UTC" now={now} />
      </>
    )
  return (
    <>
      {state === 'expired' && <b className={own.over}>expired </b>}
      {expiresAt === null ? 'it is revoked' : <Instant at={expiresAt} zone="UTC" now={now} />}
      <details className={own.revoke}>
        <summary>
          Revoke<span className="unseen"> {name}</span>
        </summary>
        <form method="post" action={`/api/keys/${id}/revoke`}>
          <p>Its machine can report nothing more, at once and for good.</p>
          <button type="submit">
            Revoke<span className="unseen"> {name}</span> now
          </button>
        </form>
      </details>
    </>
  )
}

/** Of which samples a key reports: "every sample", "samples of P1 and P2", "samples bound for L1". */
function formatReach(
  t: Translate,
  { plants, laboratories }: Pick<ListedKey, 'plants' | 'laboratories'>,
): string {
  if (plants === null && laboratories === null) return 'every sample'
  const parts = [
    plants?.length ? `samples of ${formatList(t, plants)}` : '',
    laboratories?.length ? `samples bound for ${formatList(t, laboratories)}` : '',
  ].filter(Boolean)
  return parts.length === 0 ? 'no sample' : parts.join(', and ')
}

/** What else a key may do or has to. */
function listKeyNotes(
  t: Translate,
  key: Pick<ListedKey, 'mayImportHistory' | 'maySetRegister' | 'mustSign'>,
): string[] {
  return [
    key.mustSign && 'signs what it sends',
    key.mayImportHistory && 'may import history',
    key.maySetRegister && 'may send the register',
  ].filter((note) => note !== false)
}

/** What has become of a key at `now` (ms UTC): it works, has expired or was revoked. */
function getKeyState({ revokedAt, expiresAt }: ListedKey, now: number): 'works' | 'expired' | 'revoked' {
  if (revokedAt !== null) return 'revoked'
  return expiresAt !== null && expiresAt <= now ? 'expired' : 'works'
}
