import { capitalised, countOf } from '@/app/ui/words/numberWords'
import styles from './SignIn.module.css'

/** Asks for the code of a mail. `triesLeft` is what a wrong one left; null where none was tried. */
export function CodeForm({ triesLeft }: { triesLeft: number | null }) {
  const isWrong = triesLeft !== null
  return (
    <form method="post" action="/api/sign-in/code" className={styles.form}>
      <label>
        <span>Code</span>
        <input
          className={styles.code}
          name="code"
          required
          inputMode="numeric"
          autoComplete="one-time-code"
          maxLength={12}
          aria-invalid={isWrong || undefined}
          aria-describedby={isWrong ? 'wrong-code' : undefined}
        />
      </label>
      {isWrong && (
        <p id="wrong-code" role="alert" className={styles.wrong}>
          {triesLeft === 0
            ? 'This code no longer works: it was used, is too old, or was typed wrongly too often. Ask for another mail.'
            : `That is not the code of the last mail. ${capitalised(countOf(triesLeft, 'try', 'tries'))} left.`}
        </p>
      )}
      <button type="submit">Sign in</button>
    </form>
  )
}
