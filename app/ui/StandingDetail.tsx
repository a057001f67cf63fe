import type { StandingText } from './words/standing'

/**
 * Which limit a standing is about (in italics), what more there is to know, and what to do. Where there is little room,
 * the limit gives way to the note.
 */
export function StandingDetail({ words, isBrief = false }: { words: StandingText; isBrief?: boolean }) {
  const { note, action } = words
  const limit = isBrief && note !== null ? null : words.limit
  return (
    <>
      {limit && <i>{limit}</i>}
      {limit && note && ', '}
      {note}
      {(limit || note) && action && '; '}
      {action && <strong>{action}</strong>}
    </>
  )
}
