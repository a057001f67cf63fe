import type { PURPOSES } from '@/lib/custody/registerDocument'

/** What a kit is for, by the register's word. */
export const PURPOSE_LABELS = {
  first: 'setup.purpose.first',
  duplicate: 'setup.purpose.duplicate',
  retained: 'setup.purpose.retained',
  're-collection': 'setup.purpose.reCollection',
} as const satisfies Record<(typeof PURPOSES)[number], string>
