import type { StandingText } from './words/standing'

/** The limit that a standing is about (in italics), a note, and what to do. When brief, a note replaces the limit. */
export function StandingDetail({ text, isBrief = false }: { text: StandingText; isBrief?: boolean }) {
  const { note, action } = text
  const limit = isBrief && note !== null ? null : text.limit
  return (
    <>
      {limit && <i>{limit}</i>}
      {limit && note && ' · '}
      {note}
      {(limit || note) && action && ' · '}
      {action && <strong>{action}</strong>}
    </>
  )
}
