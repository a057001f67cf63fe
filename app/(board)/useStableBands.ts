'use client'
import { type FocusEvent, type PointerEvent, useState } from 'react'
import type { Board } from '@/lib/store/read/board'
import { countMoves, keepBandOrder } from './bandOrder'

/**
 * The bands of `latest`, whose rows do not move while a pointer or the focus is in them: they are brought up to date in
 * place, and a new order waits until it is let go or asked for. Another `address` is another list, shown at once. The
 * `handlers` go on what holds the rows, and the button that asks for the new order with them: outside, it would be
 * gone before a pointer that comes from the rows could press it.
 */
export function useStableBands<Latest>(
  latest: Latest,
  bandsOf: (latest: Latest) => Board['bands'],
  address: string,
) {
  const { isHeld, letGoOfFocus, handlers } = useInteraction()
  const [shown, setShown] = useState({ latest, address })
  const show = () => setShown({ latest, address })
  if (shown.latest !== latest && (!isHeld || shown.address !== address)) show()
  const onShow = () => {
    show()
    letGoOfFocus()
  }
  const bands = bandsOf(latest)
  if (shown.latest === latest) return { bands, waiting: 0, onShow, handlers }
  const before = bandsOf(shown.latest)
  return { bands: keepBandOrder(before, bands), waiting: countMoves(before, bands), onShow, handlers }
}

/** Whether a mouse points into an element or the focus is in it, with the handlers to put on it. */
function useInteraction() {
  const [isPointed, setIsPointed] = useState(false)
  const [isFocused, setIsFocused] = useState(false)
  const onPointer = (isInside: boolean) => (event: PointerEvent) => {
    if (event.pointerType === 'mouse') setIsPointed(isInside)
  }
  return {
    isHeld: isPointed || isFocused,
    /** For when what has the focus is about to be taken away: a browser tells nobody that it is lost. */
    letGoOfFocus: () => setIsFocused(false),
    handlers: {
      onPointerEnter: onPointer(true),
      onPointerLeave: onPointer(false),
      onFocus: () => setIsFocused(true),
      onBlur: (event: FocusEvent<HTMLElement>) =>
        setIsFocused(event.currentTarget.contains(event.relatedTarget)),
    },
  }
}
