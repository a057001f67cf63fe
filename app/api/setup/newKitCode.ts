import { randomInt } from 'node:crypto'
import { issueKitCode } from '@/lib/custody/kitCode'

const PARTS = 2 ** 32

/** Makes kit codes that nobody can guess, none of them twice nor among those taken. */
export function kitCodeMaker(taken: Iterable<string>): () => string {
  const known = new Set(taken)
  return () => {
    for (;;) {
      const code = issueKitCode(() => randomInt(PARTS) / PARTS)
      if (known.has(code)) continue
      known.add(code)
      return code
    }
  }
}
