'use client'

import { useState } from 'react'
import type { Board } from '@/lib/store'
import { countMoves, steadyBands } from './steadyBands'

/**
 * The bands of `latest`, whose rows do not move while they are `isHeld` (a pointer or the focus is in them): they are
 * brought up to date in place, and a new order waits until it is let go or asked for. Another `address` is another
 * list, shown at once.
 */
export function useSteadyBands<Latest>(
  latest: Latest,
  bandsOf: (latest: Latest) => Board['bands'],
  address: string,
  isHeld: boolean,
) {
  const [shown, setShown] = useState({ latest, address })
  const show = () => setShown({ latest, address })
  if (shown.latest !== latest && (!isHeld || shown.address !== address)) show()
  const bands = bandsOf(latest)
  if (shown.latest === latest) return { bands, waiting: 0, show }
  const before = bandsOf(shown.latest)
  return { bands: steadyBands(before, bands), waiting: countMoves(before, bands), show }
}
