import type { MadeKey } from '@/lib/access/keys/programmeKeys'
import styles from './KeySecret.module.css'

/** The secret of a key that was made just now, and how to send with it. */
export function KeySecret({ made: { id, name, secret, mustSign } }: { made: MadeKey }) {
  return (
    <section className={styles.made} aria-labelledby="made">
      <h2 id="made">The secret of “{name}”</h2>
      <p>Put it where the machine reads it, now: it is shown this once, and only its hash is kept.</p>
      <pre className={styles.secret}>{secret}</pre>
      {mustSign ? (
        <p>
          The machine does not send it, but signs with it (RFC 9421, hmac-sha256): key id <code>{id}</code>,
          the HMAC key is the SHA-256 of the secret’s text, and <code>@method</code>, <code>@path</code> and{' '}
          <code>content-digest</code> are signed, with <code>created</code>. The README has the details.
        </p>
      ) : (
        <p>
          The machine sends it with each request as <code>Authorization: Bearer</code>, or{' '}
          <code>npm run load</code> reads it from <code>HOLDFAST_KEY</code>.
        </p>
      )}
    </section>
  )
}
