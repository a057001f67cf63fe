import type { Ending } from '@/lib/hold/ending'

/** What an ending says of an arrival that nobody reported: it never comes, it came, or it is no longer waited for. */
export const ARRIVAL_AFTER: Record<Ending, 'never comes' | 'came' | 'not awaited'> = {
  lost: 'never comes',
  returned: 'never comes',
  rejected: 'came',
  cancelled: 'not awaited',
}
