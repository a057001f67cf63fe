'use client'

import { useEffect, useRef, useState } from 'react'
import styles from './Form.module.css'

const TYPING_PAUSE_MS = 300

/** What the limits of the form around it would mean: as the server wrote it, then as one types. */
export function LiveDueDates({ initial }: { initial: string[] }) {
  const place = useRef<HTMLDivElement>(null)
  const [lines, setLines] = useState(initial)
  useEffect(() => {
    const form = place.current?.closest('form')
    if (!form) return
    let pause: ReturnType<typeof setTimeout> | undefined
    let asking: AbortController | undefined
    const ask = async () => {
      asking?.abort()
      asking = new AbortController()
      const asked = new URLSearchParams()
      for (const [name, value] of new FormData(form)) if (typeof value === 'string') asked.append(name, value)
      try {
        const answer = await fetch(`/api/setup/due?${asked}`, { signal: asking.signal })
        if (answer.ok) setLines(((await answer.json()) as { lines: string[] }).lines)
      } catch {
        // Another question was asked meanwhile, or the server does not answer: what stands there stays.
      }
    }
    const onInput = () => {
      clearTimeout(pause)
      pause = setTimeout(ask, TYPING_PAUSE_MS)
    }
    form.addEventListener('input', onInput)
    return () => {
      form.removeEventListener('input', onInput)
      clearTimeout(pause)
      asking?.abort()
    }
  }, [])
  return (
    <div ref={place} className={styles.wide} aria-live="polite">
      {lines.map((line) => (
        <p key={line} className={styles.done}>
          {line}
        </p>
      ))}
    </div>
  )
}
