import type { Sample } from '@/lib/custody/sample'

/** The codes of the protocols that do not say which temperatures are right at receipt although receipts tell some, each once. */
export function listMissingRanges(samples: readonly Pick<Sample, 'protocol' | 'isRangeMissing'>[]): string[] {
  const codes = samples.flatMap(({ protocol, isRangeMissing }) =>
    isRangeMissing && protocol !== null ? [protocol] : [],
  )
  return [...new Set(codes)].sort()
}
