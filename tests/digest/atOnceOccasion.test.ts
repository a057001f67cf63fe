import { expect, test } from 'vitest'
import { atOnceOccasion, readOccasion } from '@/lib/digest/atOnceOccasion'
import { AT_ONCE_KINDS } from '@/lib/store/atOnceChoice'

test.each(AT_ONCE_KINDS)('an occasion is read as it was written: %s', (kind) => {
  for (const turn of [null, 1, 12]) {
    const occasion = { kind, code: '7KQ2M94Y', turn }
    expect(readOccasion(atOnceOccasion(occasion))).toEqual(occasion)
  }
})

test.each(['2026-W48', 'delayed 7KQ2M94Y', 'lapsed 7KQ2', 'lapsed'])(
  'is none of a mail at once: %s',
  (occasion) => {
    expect(readOccasion(occasion)).toBeNull()
  },
)
