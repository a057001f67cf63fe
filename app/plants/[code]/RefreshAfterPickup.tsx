'use client'

import { useRouter } from 'next/navigation'
import { useEffect } from 'react'
import { MINUTE } from '@/lib/hold/zone'

const REFRESH_INTERVAL_MS = 15 * MINUTE
/** The least time between two refreshes, ms. */
const MIN_DELAY_MS = MINUTE

/**
 * Refreshes the page once the next pickup has gone, and every quarter of an hour, so that its advice is never past. `asOf`, `nextAt`: ms UTC by the server.
 */
export function RefreshAfterPickup({ asOf, nextAt }: { asOf: number; nextAt: number | null }) {
  const router = useRouter()
  useEffect(() => {
    const left = nextAt === null ? REFRESH_INTERVAL_MS : Math.min(REFRESH_INTERVAL_MS, nextAt - asOf + 1_000)
    const timer = setInterval(() => router.refresh(), Math.max(MIN_DELAY_MS, left))
    return () => clearInterval(timer)
  }, [asOf, nextAt, router])
  return null
}
