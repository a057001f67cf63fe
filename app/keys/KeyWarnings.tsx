import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { describeOwner } from '@/lib/policy/keyOwner'
import { findKeyWarnings } from '@/lib/policy/keyWarnings'
import type { ListedKey } from '@/lib/store/people/keys'

/**
 * Keys from before keys had sides that an administrator has to look at: those that share a source with another owner's, those
 * that speak for two sides, and those that could report more. `now` in ms UTC.
 */
export function KeyWarnings({ keys, now }: { keys: readonly ListedKey[]; now: number }) {
  const t = useTranslate()
  const { shared, twoSided, narrowed } = findKeyWarnings(keys, now)
  if (shared.length + twoSided.length + narrowed.length === 0) return null
  const nameOwner = (key: ListedKey) =>
    t('keys.warning.keyOf', { name: key.name, owner: t.message(describeOwner(key)) })
  return (
    <section aria-labelledby="warnings" className="prose">
      <h2 id="warnings">{t('keys.warning.title')}</h2>
      <ul>
        {shared.map(({ source, keys: sharing }) => (
          <li key={`source ${source}`}>
            {t('keys.warning.shared', { source, keys: t.list(sharing.map(nameOwner)) })}
          </li>
        ))}
        {twoSided.map((key) => (
          <li key={key.id}>
            {t('keys.warning.twoSides', { name: key.name, owner: t.message(describeOwner(key)) })}
          </li>
        ))}
        {narrowed[0] && (
          <li>
            {rich(t, 'keys.warning.narrowed', {
              names: t.list(narrowed.map(({ name }) => t('keys.warning.key', { name }))),
              count: narrowed.length,
              time: <Instant at={narrowed[0].narrowedAt ?? now} zone="UTC" now={now} />,
            })}
          </li>
        )}
      </ul>
    </section>
  )
}
