import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import { listed } from '@/app/ui/words/numberWords'
import type { ListedKey } from '@/lib/store/people/keys'
import styles from './KeyTable.module.css'
import { keyNotes, keyState, reachWords } from './keyWords'

/** The keys with what each may do, when it was last used, and a way to revoke it. Times are UTC. */
export function KeyTable({ keys, now }: { keys: readonly ListedKey[]; now: number }) {
  return (
    <div className={table.scroll}>
      <table className={`${table.table} ${table.stack} ${styles.keys}`}>
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
              <td data-head="speaks for">{listed(key.sources)}</td>
              <td data-head="reports">
                {key.kinds === null ? 'every kind' : listed(key.kinds)} of {reachWords(key)}
                {keyNotes(key).map((note) => (
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
  const state = keyState(listedKey, now)
  if (revokedAt !== null)
    return (
      <>
        <b className={styles.over}>revoked</b> <Instant at={revokedAt} zone="UTC" now={now} />
      </>
    )
  return (
    <>
      {state === 'expired' && <b className={styles.over}>expired </b>}
      {expiresAt === null ? 'it is revoked' : <Instant at={expiresAt} zone="UTC" now={now} />}
      <details className={styles.revoke}>
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
