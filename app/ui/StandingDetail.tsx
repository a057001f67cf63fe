import type { StandingWords } from '../words/standingWords'

/** Which limit a standing is about (in italics), what more there is to know, and what to do. */
export function StandingDetail({ words }: { words: StandingWords }) {
  const { limit, note, action } = words
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
