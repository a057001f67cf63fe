import { useEffect, useState } from 'react'
import { useTranslate } from '#translate'
import styles from './ConnectionNotice.module.css'
import { formatInstant } from './words/instant'

/**
 * Says that the server is lost, and from when the data on the page are. The region is always there, so that what
 * comes into it is read out.
 */
export function ConnectionNotice({
  lostSinceAt,
  asOf,
  zone,
}: {
  lostSinceAt: number | null
  asOf: number
  zone: string
}) {
  const t = useTranslate()
  const hasStayed = useBlockedNavigation(lostSinceAt !== null)
  return (
    <p role="status" className={styles.lost}>
      {lostSinceAt !== null &&
        `No answer from the server since ${formatInstant(t, lostSinceAt, zone, asOf)}. ` +
          `This is what was known at ${formatInstant(t, asOf, zone, asOf)}; time left goes on counting. Trying again.` +
          (hasStayed ? ' No other page can be opened until it answers.' : '')}
    </p>
  )
}

const HEALTH_TIMEOUT_MS = 5_000

/**
 * While the server is lost, a link would leave what is known for the browser's own error page: so it is followed
 * only once the server answers again. Whether one was not followed for that.
 */
function useBlockedNavigation(isLost: boolean): boolean {
  const [hasStayed, setHasStayed] = useState(false)
  useEffect(() => {
    if (!isLost) return
    const onClick = (event: MouseEvent) => {
      const href = isPlainClick(event) ? findOtherPage(event.target) : null
      if (href === null) return
      event.preventDefault()
      event.stopPropagation()
      fetchJson('/api/health', AbortSignal.timeout(HEALTH_TIMEOUT_MS)).then(
        () => window.location.assign(href),
        () => setHasStayed(true),
      )
    }
    window.addEventListener('click', onClick, { capture: true })
    return () => {
      window.removeEventListener('click', onClick, { capture: true })
      setHasStayed(false)
    }
  }, [isLost])
  return hasStayed
}

function isPlainClick({ button, ctrlKey, metaKey, shiftKey, altKey }: MouseEvent): boolean {
  return button === 0 && !ctrlKey && !metaKey && !shiftKey && !altKey
}

/** Where a link under `target` leads, if to another page of this server. */
function findOtherPage(target: EventTarget | null): string | null {
  const link = target instanceof Element ? target.closest<HTMLAnchorElement>('a[href]') : null
  if (!link || link.origin !== window.location.origin) return null
  const isHere = link.pathname === window.location.pathname && link.search === window.location.search
  return isHere ? null : link.href
}

/** Since when the server has not answered, ms UTC by its own clock; null while it does. */
export function useUnreachableSince(isLost: boolean, now: number): number | null {
  const [lostSinceAt, setLostSinceAt] = useState<number | null>(null)
  if (isLost && lostSinceAt === null) setLostSinceAt(now)
  if (!isLost && lostSinceAt !== null) setLostSinceAt(null)
  return lostSinceAt
}

const REQUEST_TIMEOUT_MS = 15_000

/** Asks the server for JSON. Errors: throws where it does not answer in time, or answers with a failure. */
export async function fetchJson<Answer>(address: string, signal: AbortSignal): Promise<Answer> {
  const response = await fetch(address, {
    headers: { accept: 'application/json' },
    signal: AbortSignal.any([signal, AbortSignal.timeout(REQUEST_TIMEOUT_MS)]),
  })
  // The session was ended, here or elsewhere: what is on the page is nobody's to see any more.
  if (response.status === 401) window.location.reload()
  if (!response.ok) throw new Error(`The server answered ${response.status}.`)
  return (await response.json()) as Answer
}
