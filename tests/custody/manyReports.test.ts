import { expect, test } from 'vitest'
import { deriveSample } from '@/lib/custody/sample'
import { buildJourney } from '@/lib/store/projection/buildJourney'
import { event, KIT, kits, NOW, readMilestone, register } from './desk'

/** More than a function takes arguments: a source may repeat a report for years, and each is kept. */
const MANY = 130_000

test('a sample may have more reports of each kind than a function takes arguments', () => {
  const kit = kits.get(KIT)
  if (!kit) throw new Error('There is no kit')
  const kinds = [
    event('collected', '2026-11-02T10:00:00Z'),
    event('form copy', '2026-11-02T11:00:00Z'),
    event('lost', '2026-11-03T11:00:00Z'),
    event('loaded', '2027-01-03T11:00:00Z'),
  ]
  const placed = kinds.flatMap((one) =>
    Array.from({ length: MANY }, (_, n) => ({
      event: { ...one, id: `${one.kind} ${n}` },
      correctedBy: [],
      isAhead: one.earliestAt > NOW,
      isByConsignment: false,
      isLooping: false,
      takesBack: null,
    })),
  )
  const sample = deriveSample(kit, placed, register, NOW)
  expect(readMilestone(sample, 'collected')).toBe('2026-11-02T10:00:00.000Z')
  expect(sample.formCopyAt).toBe(Date.parse('2026-11-02T11:00:00Z'))
  expect(sample.deriveAgainAt).toBe(Date.parse('2027-01-03T11:00:00Z'))
  expect(buildJourney(sample, new Map()).ending?.knownAt).toBe(Date.parse('2026-11-03T11:00:00Z'))
})
