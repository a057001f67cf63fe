import { OWED_PURPOSES } from '@/lib/schedule/dutySamples'

/** The condition on a row of `sample`, named `of` with its dot where others stand beside it, that `isOwed` puts on its purpose. */
export function isOwedSql(of = ''): string {
  return `${of}purpose in (${OWED_PURPOSES.map((purpose) => `'${purpose}'`).join(', ')})`
}
