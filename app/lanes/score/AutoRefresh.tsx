'use client'

import { useRouter } from 'next/navigation'
import { useEffect } from 'react'

const EVERY_SECONDS = 5

/**
 * Asks the server for the page again every few seconds for as long as it stands there. Without scripts the browser
 * loads it again instead; with them it must not, since that would go on after a link has led elsewhere, and lead back.
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
