import styles from './DemoNotice.module.css'

/** Says, where it is so, that everything on the page is invented. */
export function DemoNotice({ isDemo }: { isDemo: boolean }) {
  if (!isDemo) return null
  return (
    <p className={styles.line}>
      Demo programme: invented plants, invented data.{' '}
      <span>
        <code>npm run demo -- --remove</code> takes it away.
      </span>
    </p>
  )
}
