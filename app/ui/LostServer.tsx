import styles from './LostServer.module.css'
import { useStayWhileLost } from './useStayWhileLost'
import { instantWords } from './words/instantWords'

/**
 * Says that the server is lost, and from when the data on the page are. The region is always there, so that what
 * comes into it is read out.
 */
export function LostServer({
  lostSinceAt,
  asOf,
  zone,
}: {
  lostSinceAt: number | null
  asOf: number
  zone: string
}) {
  const hasStayed = useStayWhileLost(lostSinceAt !== null)
  return (
    <p role="status" className={styles.lost}>
      {lostSinceAt !== null &&
        `No answer from the server since ${instantWords(lostSinceAt, zone, asOf)}. ` +
          `This is what was known at ${instantWords(asOf, zone, asOf)}; time left goes on counting. Trying again.` +
          (hasStayed ? ' No other page can be opened until it answers.' : '')}
    </p>
  )
}
