'use client'

import { useEffect } from 'react'

/** Keys for a page of samples: "/" goes to the search, arrows up and down from sample to sample. */
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

/** Moves the focus among the samples, if it is on one; whether it did. */
function moveFocus(step: number): boolean {
  const links = [...document.querySelectorAll<HTMLElement>('[data-sample]')]
  const here = links.indexOf(document.activeElement as HTMLElement)
  const next = here < 0 ? undefined : links[here + step]
  next?.focus()
  return next !== undefined
}
