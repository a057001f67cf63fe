'use client'

import { useEffect, useRef, useState } from 'react'
import styles from './Form.module.css'

const TYPING_PAUSE_MS = 300

/** The due dates of the form around it: first as the server rendered them, then updated while the user types. */
export function LiveDueDates({ initial }: { initial: string[] }) {
  const container = useRef<HTMLDivElement>(null)
  const [lines, setLines] = useState(initial)
  useEffect(() => {
    const form = container.current?.closest('form')
    if (!form) return
    let pause: ReturnType<typeof setTimeout> | undefined
    let request: AbortController | undefined
    const refresh = async () => {
      request?.abort()
      request = new AbortController()
      const query = new URLSearchParams()
      for (const [name, value] of new FormData(form)) if (typeof value === 'string') query.append(name, value)
      try {
        const answer = await fetch(`/api/setup/due?${query}`, { signal: request.signal })
        if (answer.ok) setLines(((await answer.json()) as { lines: string[] }).lines)
      } catch {
        // Aborted by a newer request, or the server is unreachable: keep the last lines.
      }
    }
    const onInput = () => {
      clearTimeout(pause)
      pause = setTimeout(refresh, TYPING_PAUSE_MS)
    }
    form.addEventListener('input', onInput)
    return () => {
      form.removeEventListener('input', onInput)
      clearTimeout(pause)
      request?.abort()
    }
  }, [])
  return (
    <div ref={container} className={styles.wide} aria-live="polite">
      {lines.map((line) => (
        <p key={line} className={styles.done}>
          {line}
        </p>
      ))}
    </div>
  )
}
