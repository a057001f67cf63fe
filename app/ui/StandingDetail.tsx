import styles from './StandingDetail.module.css'
import type { StandingText } from './words/standing'

/**
 * The limit that a standing is about (in italics), a note, what was found, and what must not be done. When brief, a note replaces
 * the limit.
 */
export function StandingDetail({ text, isBrief = false }: { text: StandingText; isBrief?: boolean }) {
  const { note, found, restraint } = text
  const limit = isBrief && note !== null ? null : text.limit
  return (
    <>
      {limit && <i>{limit}</i>}
      {limit && note && ' · '}
      {note}
      {(limit || note) && found && ' · '}
      {found}
      {(limit || note || found) && restraint && (found ? ' ' : ' · ')}
      {restraint && <strong className={styles.restraint}>{restraint}</strong>}
    </>
  )
}
