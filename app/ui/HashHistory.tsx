'use client'

import { useEffect } from 'react'

/**
 * Makes the way back right after a plain link to a place on the page, which moves the keyboard there as Link would not. The
 * browser writes such a step into its history, and Next, which did not write it, would show there whatever page it showed last:
 * `replaceState` tells Next of it.
 */
export function HashHistory() {
  useEffect(() => {
    const tell = () => {
      if (window.history.state === null) window.history.replaceState(null, '', window.location.href)
    }
    window.addEventListener('hashchange', tell)
    return () => window.removeEventListener('hashchange', tell)
  }, [])
  return null
}
