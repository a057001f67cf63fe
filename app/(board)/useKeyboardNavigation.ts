'use client'

import { useEffect } from 'react'

/** Keyboard shortcuts for lists of samples: "/" focuses the search, the up and down arrows move between samples. */
export function useKeyboardNavigation(): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return
      if (event.key === '/') {
        const search = document.querySelector<HTMLInputElement>('input[type="search"]')
        if (search) event.preventDefault()
        search?.focus()
        search?.select()
      } else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
        if (moveFocus(event.key === 'ArrowDown' ? 1 : -1)) event.preventDefault()
      }
    }
    document.addEventListener('keydown', onKey)
    return () => document.removeEventListener('keydown', onKey)
  }, [])
}

function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLInputElement ||
    target instanceof HTMLSelectElement ||
    target instanceof HTMLTextAreaElement
  )
}

/** Moves the focus to the next or previous sample if it is on one. Returns whether it moved. */
function moveFocus(step: number): boolean {
  const links = [...document.querySelectorAll<HTMLElement>('[data-sample]')]
  const current = links.indexOf(document.activeElement as HTMLElement)
  const next = current < 0 ? undefined : links[current + step]
  next?.focus()
  return next !== undefined
}
