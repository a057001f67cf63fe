import { buildOlderUrl } from './pageUrls'

/** The way from one page of a list to the others. `newest` is the address of its first page, `olderThan` the key of the next. */
export function Pagination({
  newest,
  isOlder,
  olderThan,
}: {
  newest: string
  isOlder: boolean
  olderThan: string | null
}) {
  if (!isOlder && olderThan === null) return null
  return (
    <nav aria-label="Newest and older">
      <p>
        {isOlder && <a href={newest}>Newest</a>}
        {isOlder && olderThan !== null && ' · '}
        {olderThan !== null && (
          <a href={buildOlderUrl(newest, olderThan)} rel="next">
            Older
          </a>
        )}
      </p>
    </nav>
  )
}
