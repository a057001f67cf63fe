'use client'

import { useState } from 'react'

/**
 * The token that makes a form idempotent: sent twice, it records once. It stays the same while the page re-renders around
 * a form that someone is filling in.
 */
export function FormToken({ value }: { value: string }) {
  const [token] = useState(value)
  return <input type="hidden" name="token" value={token} />
}
