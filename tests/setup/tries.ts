import { beforeAll, beforeEach } from 'vitest'

/**
 * Sets up what the tests of a file share: once, and anew before a second try of one of them, which would else find what
 * the first has left behind and fail by it.
 */
export function setUpForTries(setUp: () => Promise<void>): void {
  beforeAll(setUp)
  beforeEach(async ({ task }) => {
    if ((task.result?.retryCount ?? 0) > 0) await setUp()
  })
}
