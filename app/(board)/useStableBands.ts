'use client'
import { type FocusEvent, type PointerEvent, useState } from 'react'
import type { Board } from '@/lib/store/read/board'
import { countMoves, keepBandOrder } from './bandOrder'

/**
 * The bands of `latest`, whose rows do not move while a pointer or the focus is in them: they are updated in place, and
 * the new order waits until the pointer and the focus have left, or `onShow` asks for it. A new `query` is another list
 * and is shown immediately. The element with the `handlers` must hold the rows and the button that calls `onShow`:
 * outside of it, the button would disappear before a pointer that comes from the rows could reach it.
 */
export function useStableBands<Latest>(
  latest: Latest,
  getBands: (latest: Latest) => Board['bands'],
  query: string,
) {
  const { isInteracting, releaseFocus, handlers } = useInteraction()
  const [shown, setShown] = useState({ latest, query })
  const show = () => setShown({ latest, query })
  if (shown.latest !== latest && (!isInteracting || shown.query !== query)) show()
  const onShow = () => {
    show()
    releaseFocus()
  }
  const bands = getBands(latest)
  if (shown.latest === latest) return { bands, waiting: 0, onShow, handlers }
  const before = getBands(shown.latest)
  return { bands: keepBandOrder(before, bands), waiting: countMoves(before, bands), onShow, handlers }
}

/** Whether the mouse or the focus is inside an element, with the handlers that the element needs. */
function useInteraction() {
  const [isHovered, setIsHovered] = useState(false)
  const [isFocused, setIsFocused] = useState(false)
  const onPointer = (isInside: boolean) => (event: PointerEvent) => {
    if (event.pointerType === 'mouse') setIsHovered(isInside)
  }
  return {
    isInteracting: isHovered || isFocused,
    /** Call it before the focused element is removed: browsers send no blur event then. */
    releaseFocus: () => setIsFocused(false),
    handlers: {
      onPointerEnter: onPointer(true),
      onPointerLeave: onPointer(false),
      onFocus: () => setIsFocused(true),
      onBlur: (event: FocusEvent<HTMLElement>) =>
        setIsFocused(event.currentTarget.contains(event.relatedTarget)),
    },
  }
}
