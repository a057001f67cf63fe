import { useEffect, useState } from 'react'
import { useTranslate } from '#translate'
import styles from './ConnectionNotice.module.css'
import { formatInstant } from './words/instant'

/**
 * Says that the server does not answer and from when the data on the page are. The live region is always rendered, so
 * that screen readers announce what appears in it.
 */
export function ConnectionNotice({
  unreachableSinceAt,
  asOf,
  zone,
}: {
  unreachableSinceAt: number | null
  asOf: number
  zone: string
}) {
  const t = useTranslate()
  const isBlocked = useBlockedNavigation(unreachableSinceAt !== null)
  return (
    <p role="status" className={styles.lost}>
      {unreachableSinceAt !== null && (
        <>
          {t('site.unreachable', {
            since: formatInstant(t, unreachableSinceAt, zone, asOf),
            asOf: formatInstant(t, asOf, zone, asOf),
          })}
          {isBlocked && ` ${t('site.navigationBlocked')}`}
        </>
      )}
    </p>
  )
}

const HEALTH_TIMEOUT_MS = 5_000

/**
 * Holds back links to other pages while the server does not answer: they would replace the known data with the
 * browser's error page. Returns whether a link was held back.
 */
function useBlockedNavigation(isUnreachable: boolean): boolean {
  const [isBlocked, setIsBlocked] = useState(false)
  useEffect(() => {
    if (!isUnreachable) return
    const onClick = (event: MouseEvent) => {
      const href = isPlainClick(event) ? findOtherPage(event.target) : null
      if (href === null) return
      event.preventDefault()
      event.stopPropagation()
      fetchJson('/api/health', AbortSignal.timeout(HEALTH_TIMEOUT_MS)).then(
        () => window.location.assign(href),
        () => setIsBlocked(true),
      )
    }
    window.addEventListener('click', onClick, { capture: true })
    return () => {
      window.removeEventListener('click', onClick, { capture: true })
      setIsBlocked(false)
    }
  }, [isUnreachable])
  return isBlocked
}

function isPlainClick({ button, ctrlKey, metaKey, shiftKey, altKey }: MouseEvent): boolean {
  return button === 0 && !ctrlKey && !metaKey && !shiftKey && !altKey
}

/** The address of the link that holds `target`, if it leads to another page of this server. */
function findOtherPage(target: EventTarget | null): string | null {
  const link = target instanceof Element ? target.closest<HTMLAnchorElement>('a[href]') : null
  if (!link || link.origin !== window.location.origin) return null
  const isHere = link.pathname === window.location.pathname && link.search === window.location.search
  return isHere ? null : link.href
}

/** When the server stopped answering, ms UTC by the server's clock; null while it answers. */
export function useUnreachableSince(isUnreachable: boolean, now: number): number | null {
  const [unreachableSinceAt, setUnreachableSinceAt] = useState<number | null>(null)
  if (isUnreachable && unreachableSinceAt === null) setUnreachableSinceAt(now)
  if (!isUnreachable && unreachableSinceAt !== null) setUnreachableSinceAt(null)
  return unreachableSinceAt
}

const REQUEST_TIMEOUT_MS = 15_000

/** Requests JSON from the server. Throws on a timeout and on any status that is not 2xx. */
export async function fetchJson<Answer>(address: string, signal: AbortSignal): Promise<Answer> {
  const response = await fetch(address, {
    headers: { accept: 'application/json' },
    signal: AbortSignal.any([signal, AbortSignal.timeout(REQUEST_TIMEOUT_MS)]),
  })
  // The session has ended, here or elsewhere: the page must not stay in sight.
  if (response.status === 401) window.location.reload()
  if (!response.ok) throw new Error(`The server answered ${response.status}.`)
  return (await response.json()) as Answer
}
