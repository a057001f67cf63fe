'use client'

import { useEffect, useState } from 'react'
import { z } from 'zod'
import { useTranslate } from '#translate'
import type { PlainMessageKey } from '@/lib/messages/message'
import { rich } from './ui/language/rich'

const readiness = z.object({ checks: z.array(z.object({ fault: z.string().optional() })) })

/** What a person reads if the database is at fault, by what /api/ready says of it. */
const CAUSES: Record<string, PlainMessageKey> = {
  unreachable: 'site.error.unreachable',
  missing: 'site.error.missing',
  crowded: 'site.error.crowded',
  'read-only': 'site.error.readOnly',
  full: 'site.error.full',
}

/** Replaces a page whose rendering failed, most often because the database does not answer. */
export default function PageError({
  error,
  reset,
}: {
  error: Error & { digest?: string }
  reset: () => void
}) {
  const t = useTranslate()
  const [cause, setCause] = useState<PlainMessageKey>('site.error.cause')
  useEffect(() => {
    console.error(error)
    findCause().then((found) => found && setCause(found))
  }, [error])
  return (
    <div className="prose">
      <title>{t('site.error.title')}</title>
      <h1>{t('site.error.heading')}</h1>
      <p role="status">{t(cause)}</p>
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

/** An error of the server reaches a browser without its reason, so the server is asked for it. */
async function findCause(): Promise<PlainMessageKey | undefined> {
  try {
    const { checks } = readiness.parse(await (await fetch('/api/ready')).json())
    return CAUSES[checks.find(({ fault }) => fault !== undefined)?.fault ?? '']
  } catch {
    return undefined
  }
}
