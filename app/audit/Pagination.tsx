import { useTranslate } from '#translate'
import { buildOlderUrl } from './pageUrls'

/** Links between the pages of a list. `newest` is the URL of its first page, `olderThan` the key of the next. */
export function Pagination({
  newest,
  isOlder,
  olderThan,
}: {
  newest: string
  isOlder: boolean
  olderThan: string | null
}) {
  const t = useTranslate()
  if (!isOlder && olderThan === null) return null
  return (
    <nav aria-label={t('pagination.label')}>
      <p>
        {isOlder && <a href={newest}>{t('pagination.newest')}</a>}
        {isOlder && olderThan !== null && ' · '}
        {olderThan !== null && (
          <a href={buildOlderUrl(newest, olderThan)} rel="next">
            {t('pagination.older')}
          </a>
        )}
      </p>
    </nav>
  )
}
