import { useTranslate } from '#translate'
import styles from './CuttingCaution.module.css'

/** Dangers of cutting; the site's own rules come first. */
export function CuttingCaution() {
  const t = useTranslate()
  return <p className={styles.caution}>{t('act.cuttingCaution')}</p>
}
