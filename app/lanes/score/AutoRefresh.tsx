'use client'

import { useRouter } from 'next/navigation'
import { useEffect } from 'react'

const EVERY_SECONDS = 5

/**
 * Refreshes the page every few seconds. Without scripts the browser reloads it instead; with scripts a reload
 * must not be used, because it would still fire after a client-side link has left the page, and pull the reader
 * back.
 */
export function AutoRefresh() {
  const router = useRouter()
  useEffect(() => {
    const timer = setInterval(() => router.refresh(), EVERY_SECONDS * 1_000)
    return () => clearInterval(timer)
  }, [router])
  return (
    <noscript>
      <meta httpEquiv="refresh" content={String(EVERY_SECONDS)} />
    </noscript>
  )
}
