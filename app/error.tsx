'use client'

import { useEffect } from 'react'
import { useTranslate } from '#translate'
import { rich } from './ui/language/rich'

/** Replaces a page whose rendering failed, most often because the database does not answer. */
export default function PageError({
  error,
  reset,
}: {
  error: Error & { digest?: string }
  reset: () => void
}) {
  const t = useTranslate()
  useEffect(() => {
    console.error(error)
  }, [error])
  return (
    <div className="prose">
      <title>{t('site.error.title')}</title>
      <h1>{t('site.error.heading')}</h1>
      <p>{t('site.error.cause')}</p>
      <p>
        <button type="button" onClick={reset}>
          {t('site.error.retry')}
        </button>
      </p>
      {error.digest && (
        <p>{rich(t, 'site.error.log', { digest: error.digest, code: (text) => <code>{text}</code> })}</p>
      )}
    </div>
  )
}
