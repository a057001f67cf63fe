'use client'

import { useState } from 'react'
import { useTranslate } from '#translate'
import { runPasskeyCeremony, useCanUsePasskeys } from './passkeyCeremony'
import styles from './SignIn.module.css'

/** A button that signs in with a passkey. It appears once scripts run, on a browser that supports passkeys. */
export function PasskeyButton({ to }: { to: string | null }) {
  const t = useTranslate()
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
        {t('signIn.passkey.use')}
      </button>
      {hasFailed && (
        <p role="alert" className={styles.wrong}>
          {t('signIn.passkey.failed')}
        </p>
      )}
    </div>
  )
}
