import type { Sample } from '@/lib/custody/sample'

/** The codes of the protocols that do not say which temperatures are right at receipt although receipts tell some, each once. */
export function listMissingRanges(
  samples: readonly Pick<Sample, 'protocol' | 'unjudgedTemperature'>[],
): string[] {
  const codes = samples.flatMap(({ protocol, unjudgedTemperature }) =>
    unjudgedTemperature !== null && protocol !== null ? [protocol] : [],
  )
  return [...new Set(codes)].sort()
}
