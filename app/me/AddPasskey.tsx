'use client'

import { useRouter } from 'next/navigation'
import { type FormEvent, useState } from 'react'
import { useTranslate } from '#translate'
import { PasskeyRefused, runPasskeyCeremony, useCanUsePasskeys } from '@/app/sign-in/passkeyCeremony'
import styles from '@/app/sign-in/SignIn.module.css'
import type { Translate } from '@/lib/messages/translate'

const MAX_NAME_LENGTH = 60

/** Enrols a passkey under a name, on a browser that has them; says so where it has not. */
export function AddPasskey() {
  const t = useTranslate()
  const canUse = useCanUsePasskeys()
  const router = useRouter()
  const [wrong, setWrong] = useState<string | null>(null)
  if (!canUse) return <p>A passkey is added here with a browser that has them, with scripts on.</p>
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
        <span>Name of the new passkey</span>
        <input
          name="name"
          required
          maxLength={MAX_NAME_LENGTH}
          placeholder="phone at the line"
          autoComplete="off"
        />
      </label>
      {wrong && (
        <p role="alert" className={styles.wrong}>
          {wrong}
        </p>
      )}
      <button type="submit">Add a passkey</button>
    </form>
  )
}

function describeFailure(t: Translate, error: unknown): string {
  if (error instanceof PasskeyRefused && error.message === 'SESSION_NOT_FRESH')
    return 'You signed in more than a day ago. Sign out, sign in again, and add it then.'
  if (error instanceof DOMException && error.name === 'InvalidStateError')
    return 'This device has a passkey of yours already.'
  return 'No passkey was added. Try again; the device must confirm that it is you.'
}
