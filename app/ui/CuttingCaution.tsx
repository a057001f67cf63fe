import styles from './CuttingCaution.module.css'

/** What is to be minded before a sample is cut; the site's own rules come first. */
export function CuttingCaution() {
  return (
    <p className={styles.caution}>
      Before cutting: sharp blades, moving lines, heavy rolls, and gloves or rubber that may hold latex.
      Follow the site’s own safety rules; Holdfast does not replace them.
    </p>
  )
}
