'use client'

import { type FocusEvent, type PointerEvent, useState } from 'react'

/** Whether a mouse points into an element or the focus is in it, with the handlers to put on it. */
export function useHeld() {
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
