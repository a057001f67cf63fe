'use client'

import { useEffect } from 'react'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { getStanding } from './words/standing'

/**
 * Calls `reread`, a stable function, as soon as the due of one of `rows` has passed since it was judged: what it asked for is no
 * longer right. Called once for the same rows.
 */
export function useRereadOnceOver(
  rows: readonly Pick<SampleRow, 'code' | 'isSettled' | 'binding' | 'standing'>[],
  now: number,
  reread: () => void,
): void {
  const over = rows
    .filter((row) => getStanding(row, now) !== row.standing)
    .map(({ code }) => code)
    .join(' ')
  useEffect(() => {
    if (over !== '') reread()
  }, [over, reread])
}
