import { randomInt } from 'node:crypto'
import { generateKitCode } from '@/lib/custody/kitCode'

const PARTS = 2 ** 32

/** Makes kit codes that nobody can guess, none of them twice nor among those taken. */
export function createKitCodeGenerator(taken: Iterable<string>): () => string {
  const known = new Set(taken)
  return () => {
    for (;;) {
      const code = generateKitCode(() => randomInt(PARTS) / PARTS)
      if (known.has(code)) continue
      known.add(code)
      return code
    }
  }
}
