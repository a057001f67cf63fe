'use client'

import { useEffect } from 'react'

/**
 * Keeps the back button right after a plain link to a place on the page. Such a link moves the keyboard focus there, which
 * Link does not; but the browser adds its history entry without Next's state, and Next would show the wrong page on the way
 * back. `replaceState` lets Next add its state.
 */
export function HashHistory() {
  useEffect(() => {
    const restore = () => {
      if (window.history.state === null) window.history.replaceState(null, '', window.location.href)
    }
    window.addEventListener('hashchange', restore)
    return () => window.removeEventListener('hashchange', restore)
  }, [])
  return null
}
