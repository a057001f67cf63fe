import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import table from '@/app/ui/Table.module.css'
import type { NewKey } from '@/lib/access/keys/newKey'
import type { Side } from '@/lib/custody/eventKinds'
import type { PlainMessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { describeOwner } from '@/lib/policy/keyOwner'
import { isDecision } from '@/lib/policy/mayReport'
import type { ListedKey } from '@/lib/store/people/keys'
import own from './KeyReport.module.css'
import styles from './KeySecret.module.css'
import { KeyWarnings } from './KeyWarnings'

/**
 * The API keys. `made` is the key that was just made, null if its secret was already shown, undefined if none was made.
 * `revoked` tells whether a key was just revoked: `yes` or `none`. `now` in ms UTC.
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
  const t = useTranslate()
  return (
    <>
      <h1>{t('keys.title')}</h1>
      <p className="prose">{t('keys.intro')}</p>
      <p>
        <a href="/keys/new">{t('keys.make')}</a>
      </p>
      {made && <KeySecret made={made} />}
      {made === null && <p role="status">{t('keys.secretGone')}</p>}
      {revoked === 'yes' && <p role="status">{t('keys.revoked')}</p>}
      {revoked === 'none' && <p role="status">{t('keys.notRevoked')}</p>}
      <KeyWarnings keys={keys} now={now} />
      {keys.length > 0 ? <KeyTable keys={keys} now={now} /> : <p>{t('keys.empty')}</p>}
    </>
  )
}

/** The secret of the new key, and how a machine sends it or signs with it. */
function KeySecret({ made: { id, name, secret, mustSign } }: { made: NewKey }) {
  const t = useTranslate()
  const code = (text: React.ReactNode) => <code>{text}</code>
  return (
    <section className={styles.made} aria-labelledby="made">
      <h2 id="made">{t('keys.secret.title', { name })}</h2>
      <p>{t('keys.secret.copy')}</p>
      <pre className={styles.secret}>{secret}</pre>
      <p>
        {mustSign
          ? rich(t, 'keys.secret.sign', {
              id,
              code,
              method: code,
              path: code,
              digest: code,
              created: code,
              link: (text) => <a href="/help/connect.md">{text}</a>,
            })
          : rich(t, 'keys.secret.bearer', { header: code, command: code, variable: code })}
      </p>
    </section>
  )
}

/** The keys: what each may do, when it was last used, and a button that revokes it. Times are UTC. */
function KeyTable({ keys, now }: { keys: readonly ListedKey[]; now: number }) {
  const t = useTranslate()
  return (
    <div className={table.scroll}>
      <table className={`${table.table} ${table.stack} ${own.keys}`}>
        <caption>{t('keys.table.caption')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('keys.table.key')}</th>
            <th scope="col">{t('keys.table.sources')}</th>
            <th scope="col">{t('keys.table.speaksFor')}</th>
            <th scope="col">{t('keys.table.events')}</th>
            <th scope="col">{t('keys.table.lastUsed')}</th>
            <th scope="col">{t('keys.table.expires')}</th>
            <th scope="col">{t('keys.table.made')}</th>
          </tr>
        </thead>
        <tbody>
          {keys.map((key) => (
            <tr key={key.id}>
              <th scope="row">
                {key.name}
                <span className={table.quiet}>
                  {rich(t, 'keys.table.id', { id: key.id, code: (text) => <code>{text}</code> })}
                </span>
              </th>
              <td data-head={t('keys.table.sources')}>{t.list(key.sources)}</td>
              <td data-head={t('keys.table.speaksFor')}>{t.message(describeOwner(key))}</td>
              <td data-head={t('keys.table.events')}>
                {formatKinds(t, key)}
                {listKeyNotes(t, key).map((note) => (
                  <span key={note} className={table.quiet}>
                    {note}
                  </span>
                ))}
              </td>
              <td data-head={t('keys.table.lastUsed')}>
                {key.lastUsedAt === null ? (
                  t('keys.table.neverUsed')
                ) : (
                  <Instant at={key.lastUsedAt} zone="UTC" now={now} />
                )}
              </td>
              <td data-head={t('keys.table.expires')}>
                <Expiry listedKey={key} now={now} />
              </td>
              <td data-head={t('keys.table.made')}>
                <Instant at={key.createdAt} zone="UTC" now={now} />
                <span className={table.quiet}>{t('keys.table.madeBy', { name: key.createdBy })}</span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

/** When a key expires, expired or was revoked; with a button that revokes it unless it is. */
function Expiry({ listedKey, now }: { listedKey: ListedKey; now: number }) {
  const t = useTranslate()
  const { id, name, expiresAt, revokedAt } = listedKey
  const b = (text: React.ReactNode) => <b className={own.over}>{text}</b>
  const unseen = (text: React.ReactNode) => <span className="unseen">{text}</span>
  if (revokedAt !== null)
    return rich(t, 'keys.state.revoked', { b, time: <Instant at={revokedAt} zone="UTC" now={now} /> })
  const time = expiresAt === null ? null : <Instant at={expiresAt} zone="UTC" now={now} />
  return (
    <>
      {expiresAt !== null && expiresAt <= now
        ? rich(t, 'keys.state.expired', { b, time })
        : (time ?? t('keys.state.noExpiry'))}
      <details className={own.revoke}>
        <summary>{rich(t, 'keys.revoke.summary', { name, unseen })}</summary>
        <form method="post" action={`/api/keys/${id}/revoke`}>
          <p>{t('keys.revoke.warning')}</p>
          <button type="submit">{rich(t, 'keys.revoke.submit', { name, unseen })}</button>
        </form>
      </details>
    </>
  )
}

const SIDE_KINDS = {
  plant: 'keys.sideKinds.plant',
  laboratory: 'keys.sideKinds.laboratory',
  carrier: 'keys.sideKinds.carrier',
  programme: 'keys.sideKinds.programme',
} as const satisfies Record<Side, PlainMessageKey>

/** The kinds that were named for a key, without decisions; or in words that it has those of its sides. */
function formatKinds(t: Translate, { kinds, sides }: Pick<ListedKey, 'kinds' | 'sides'>): string {
  if (kinds === null) return t.list(sides.map((side) => t(SIDE_KINDS[side])))
  return t.list(kinds.filter((kind) => !isDecision(kind)))
}

/** The decisions that were named for a key, and its further rights and duties. */
function listKeyNotes(
  t: Translate,
  key: Pick<ListedKey, 'kinds' | 'mayImportHistory' | 'maySetRegister' | 'mustSign'>,
): string[] {
  const decisions = key.kinds?.filter(isDecision) ?? []
  return [
    decisions.length > 0 && t('keys.table.decisions', { kinds: t.list(decisions) }),
    key.mustSign && t('keys.note.signs'),
    key.mayImportHistory && t('keys.note.history'),
    key.maySetRegister && t('keys.note.register'),
  ].filter((note) => note !== false)
}
