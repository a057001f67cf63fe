'use client'

import { useState } from 'react'

/**
 * The token under which a form records once, however often it is sent. It stays the same while the page is painted
 * again around a form that someone is filling in.
 */
export function FormToken({ value }: { value: string }) {
  const [token] = useState(value)
  return <input type="hidden" name="token" value={token} />
}
