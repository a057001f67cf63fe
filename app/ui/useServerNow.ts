'use client'

import { useEffect, useState } from 'react'

const TICK_MS = 10_000

/**
 * The server's time, ms UTC, ticking on from `asOf` as it came with the data: the viewer's own clock only counts
 * what has passed since, so a wrong one shows no wrong time left.
 */
export function useServerNow(asOf: number): number {
  const [now, setNow] = useState(asOf)
  useEffect(() => {
    const cameAt = Date.now()
    const tick = () => setNow(asOf + Math.max(0, Date.now() - cameAt))
    tick()
    const timer = setInterval(tick, TICK_MS)
    document.addEventListener('visibilitychange', tick)
    return () => {
      clearInterval(timer)
      document.removeEventListener('visibilitychange', tick)
    }
  }, [asOf])
  return now
}
