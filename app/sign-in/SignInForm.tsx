import type { Wrong } from '@/lib/access/session/wanted'
import styles from './SignIn.module.css'

/** Asks for an address to mail a link and a code to. */
export function SignInForm({ to, wrong }: { to: string | null; wrong: Wrong | null }) {
  return (
    <form method="post" action="/api/sign-in" className={styles.form}>
      {wrong === 'link' && (
        <p role="alert" className={styles.wrong}>
          That link no longer works: it was used already, or is older than 15 minutes. Ask for another mail.
        </p>
      )}
      {wrong === 'passkey' && (
        <p role="alert" className={styles.wrong}>
          That passkey was not taken. Try again, or have a link mailed to you.
        </p>
      )}
      {to && <input type="hidden" name="to" value={to} />}
      <label>
        <span>Your e-mail address</span>
        <input
          type="email"
          name="email"
          required
          maxLength={254}
          autoComplete="username webauthn"
          autoCapitalize="none"
          spellCheck={false}
          aria-invalid={wrong === 'address' || undefined}
          aria-describedby={wrong === 'address' ? 'wrong-address' : undefined}
        />
      </label>
      {wrong === 'address' && (
        <p id="wrong-address" role="alert" className={styles.wrong}>
          That is not an e-mail address. Type it whole, like name@example.org.
        </p>
      )}
      <button type="submit">Mail me a link</button>
    </form>
  )
}
