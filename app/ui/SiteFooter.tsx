import styles from './SiteFooter.module.css'

export function SiteFooter() {
  return (
    <footer className={`page ${styles.footer}`}>
      <p>Holdfast informs; the laboratory and the programme decide.</p>
    </footer>
  )
}
