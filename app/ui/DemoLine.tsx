import styles from './DemoLine.module.css'

/** Says, where it is so, that everything on the page is invented. */
export function DemoLine({ isDemo }: { isDemo: boolean }) {
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
