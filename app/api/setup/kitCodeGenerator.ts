import { randomInt } from 'node:crypto'
import { generateKitCode } from '@/lib/custody/kitCode'

const PARTS = 2 ** 32

/** Generates unguessable kit codes, each once and none of those taken. */
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
