'use client'

import { useEffect, useState } from 'react'

const TICK_MS = 10_000

/**
 * The server's time, ms UTC, ticking on from the `asOf` of the data. The viewer's clock only measures the time since
 * then, so a wrong clock does not show a wrong time left.
 */
export function useServerNow(asOf: number): number {
  const [now, setNow] = useState(asOf)
  useEffect(() => {
    const loadedAt = Date.now()
    const tick = () => setNow(asOf + Math.max(0, Date.now() - loadedAt))
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
