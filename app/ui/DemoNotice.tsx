import { useTranslate } from '#translate'
import styles from './DemoNotice.module.css'
import { rich } from './language/rich'

/** Marks the pages of the demo programme, on which everything is invented. */
export function DemoNotice({ isDemo }: { isDemo: boolean }) {
  const t = useTranslate()
  if (!isDemo) return null
  return (
    <p className={styles.line}>
      {rich(t, 'site.demo', {
        command: (text) => <span>{text}</span>,
        code: (text) => <code>{text}</code>,
      })}
    </p>
  )
}
