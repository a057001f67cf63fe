'use client'

import { useRouter } from 'next/navigation'
import { type FormEvent, useState } from 'react'
import { useTranslate } from '#translate'
import { PasskeyRefused, runPasskeyCeremony, useCanUsePasskeys } from '@/app/sign-in/passkeyCeremony'
import styles from '@/app/sign-in/SignIn.module.css'
import type { Translate } from '@/lib/messages/translate'

const MAX_NAME_LENGTH = 60

/** The form that enrols a passkey, or a hint if the browser does not support passkeys. */
export function AddPasskey() {
  const t = useTranslate()
  const canUse = useCanUsePasskeys()
  const router = useRouter()
  const [wrong, setWrong] = useState<string | null>(null)
  if (!canUse) return <p>{t('account.passkeys.unsupported')}</p>
  const add = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault()
    const form = event.currentTarget
    setWrong(null)
    try {
      await runPasskeyCeremony('enrol', String(new FormData(form).get('name') ?? ''))
      form.reset()
      router.refresh()
    } catch (error) {
      setWrong(describeFailure(t, error))
    }
  }
  return (
    <form onSubmit={add} className={styles.form}>
      <label>
        <span>{t('account.passkeys.newName')}</span>
        <input
          name="name"
          required
          maxLength={MAX_NAME_LENGTH}
          placeholder={t('account.passkeys.newNameExample')}
          autoComplete="off"
        />
      </label>
      {wrong && (
        <p role="alert" className={styles.wrong}>
          {wrong}
        </p>
      )}
      <button type="submit">{t('account.passkeys.add')}</button>
    </form>
  )
}

function describeFailure(t: Translate, error: unknown): string {
  if (error instanceof PasskeyRefused && error.message === 'SESSION_NOT_FRESH')
    return t('account.passkeys.stale')
  if (error instanceof DOMException && error.name === 'InvalidStateError')
    return t('account.passkeys.duplicate')
  return t('account.passkeys.failed')
}
