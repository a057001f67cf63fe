import styles from './ActLink.module.css'
import { Link } from './Link'
import type { ActText } from './words/act'

/** What is to be done, linked to its form, and by when. What can wait is quiet. */
export function ActLink({ act }: { act: ActText }) {
  const { text, path, when, isUrgent } = act
  return (
    <span className={styles.act} data-urgent={isUrgent}>
      {path === null ? <b>{text}</b> : <Link href={path}>{text}</Link>}
      {when && ` ${when}`}
    </span>
  )
}
