'use client'

import { useRouter } from 'next/navigation'
import { useEffect } from 'react'
import { MINUTE } from '@/lib/hold/zone'

const OFTEN = 15 * MINUTE
/** No later than this after a pickup has gone, and no busier, ms. */
const SLACK = MINUTE

/**
 * Asks the server for the page again once the next pickup has gone, and every quarter of an hour, so that what it
 * advises is never past. `asOf`, `nextAt`: ms UTC by the server.
 */
export function RefreshAt({ asOf, nextAt }: { asOf: number; nextAt: number | null }) {
  const router = useRouter()
  useEffect(() => {
    const left = nextAt === null ? OFTEN : Math.min(OFTEN, nextAt - asOf + 1_000)
    const timer = setInterval(() => router.refresh(), Math.max(SLACK, left))
    return () => clearInterval(timer)
  }, [asOf, nextAt, router])
  return null
}
