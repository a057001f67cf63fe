const ends: (() => unknown)[] = []

/**
 * Calls `end` after the last test of the current file, in reverse order of registration. (`afterAll` has no effect in a
 * function called by `beforeAll`, where most resources are opened.)
 */
export function atEndOfFile(end: () => unknown): void {
  ends.push(end)
}

/**
 * Calls everything registered by the file, whatever fails.
 * @throws the first failure.
 */
export async function endFile(): Promise<void> {
  const failures: unknown[] = []
  for (let end = ends.pop(); end; end = ends.pop()) {
    try {
      await end()
    } catch (failure) {
      failures.push(failure)
    }
  }
  if (failures.length > 0) throw failures[0]
}
