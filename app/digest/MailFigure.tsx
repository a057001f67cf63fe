import styles from './MailFigure.module.css'

interface Props {
  subject: string
  text: string
  /** Of whom, and for what it was sent; null for the next weekly one. */
  of: string
  occasion: string | null
}

/** A mail as a mail program shows it, and its plain text. */
export function MailFigure({ subject, text, of, occasion }: Props) {
  const asks = new URLSearchParams({ of, ...(occasion === null ? {} : { occasion }) })
  return (
    <figure className={styles.mail}>
      <figcaption>{subject}</figcaption>
      <iframe
        src={`/api/digest/html?${asks}`}
        title={`The mail “${subject}”`}
        sandbox="allow-popups allow-popups-to-escape-sandbox"
      />
      <details>
        <summary>Its plain text, for mail programs that show no HTML</summary>
        <pre>{text}</pre>
      </details>
    </figure>
  )
}
