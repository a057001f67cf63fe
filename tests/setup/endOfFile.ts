const ends: (() => unknown)[] = []

/**
 * Has something ended after the last test of the file that runs, what was begun last first. (`afterAll` has no effect in a
 * function that `beforeAll` calls, where most of what is to be ended begins.)
 */
export function atEndOfFile(end: () => unknown): void {
  ends.push(end)
}

/**
 * Ends what the file began: all of it, whatever fails.
 * @throws what failed first.
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
