'use client'

import { useEffect, useState } from 'react'
import { askServer } from './askServer'

const PATIENCE_MS = 5_000

/**
 * While the server is lost, a link would leave what is known for the browser's own error page: so it is followed
 * only once the server answers again. Whether one was not followed for that.
 */
export function useStayWhileLost(isLost: boolean): boolean {
  const [hasStayed, setHasStayed] = useState(false)
  useEffect(() => {
    if (!isLost) return
    const onClick = (event: MouseEvent) => {
      const href = isPlain(event) ? otherPage(event.target) : null
      if (href === null) return
      event.preventDefault()
      event.stopPropagation()
      askServer('/api/health', AbortSignal.timeout(PATIENCE_MS)).then(
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

function isPlain({ button, ctrlKey, metaKey, shiftKey, altKey }: MouseEvent): boolean {
  return button === 0 && !ctrlKey && !metaKey && !shiftKey && !altKey
}

/** Where a link under `target` leads, if to another page of this server. */
function otherPage(target: EventTarget | null): string | null {
  const link = target instanceof Element ? target.closest<HTMLAnchorElement>('a[href]') : null
  if (!link || link.origin !== window.location.origin) return null
  const isHere = link.pathname === window.location.pathname && link.search === window.location.search
  return isHere ? null : link.href
}
