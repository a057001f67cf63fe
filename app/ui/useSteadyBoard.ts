'use client'

import { useState } from 'react'
import type { Board } from '@/lib/store'
import { countMoves, steadyBands } from './steadyBands'

/**
 * A board whose rows do not move while it `isHeld` (a pointer or the focus is in it): they are brought up to date
 * in place, and a new order waits until it is let go or asked for. Another `address` is another board, shown at once.
 */
export function useSteadyBoard(latest: Board, address: string, isHeld: boolean) {
  const [shown, setShown] = useState({ board: latest, address })
  const show = () => setShown({ board: latest, address })
  if (shown.board !== latest && (!isHeld || shown.address !== address)) show()
  const isShown = shown.board === latest
  return {
    bands: isShown ? latest.bands : steadyBands(shown.board.bands, latest.bands),
    waiting: isShown ? 0 : countMoves(shown.board.bands, latest.bands),
    show,
  }
}
