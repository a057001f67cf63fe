'use client'

import { useState } from 'react'
import { runPasskeyCeremony, useCanUsePasskeys } from './passkeyCeremony'
import styles from './SignIn.module.css'

/** Signs in with a passkey, on a browser that has them; there is nothing here before scripts run. */
export function PasskeyButton({ to }: { to: string | null }) {
  const canUse = useCanUsePasskeys()
  const [hasFailed, setHasFailed] = useState(false)
  if (!canUse) return null
  const use = async () => {
    setHasFailed(false)
    try {
      await runPasskeyCeremony('use')
      window.location.assign(to ?? '/')
    } catch {
      setHasFailed(true)
    }
  }
  return (
    <div className={styles.form}>
      <button type="button" onClick={use}>
        Use a passkey
      </button>
      {hasFailed && (
        <p role="alert" className={styles.wrong}>
          No passkey was taken. Try again, or have a link mailed to you.
        </p>
      )}
    </div>
  )
}
