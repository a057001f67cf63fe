'use client'

import { useEffect } from 'react'

/** Shown where a page could not be made, most often because the database does not answer. */
export default function PageError({
  error,
  reset,
}: {
  error: Error & { digest?: string }
  reset: () => void
}) {
  useEffect(() => {
    console.error(error)
  }, [error])
  return (
    <div className="prose">
      <title>This page could not be made · Holdfast</title>
      <h1>This page could not be made.</h1>
      <p>
        The server could not read what belongs on it; most often its database does not answer. Nothing that
        was accepted is lost.
      </p>
      <p>
        <button type="button" onClick={reset}>
          Try again
        </button>
      </p>
      {error.digest && (
        <p>
          The server’s log has the cause under <code>{error.digest}</code>.
        </p>
      )}
    </div>
  )
}
