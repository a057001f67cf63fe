'use client'

import { useState } from 'react'

/** Since when the server has not answered, ms UTC by its own clock; null while it does. */
export function useLostSince(isLost: boolean, now: number): number | null {
  const [lostSinceAt, setLostSinceAt] = useState<number | null>(null)
  if (isLost && lostSinceAt === null) setLostSinceAt(now)
  if (!isLost && lostSinceAt !== null) setLostSinceAt(null)
  return lostSinceAt
}
