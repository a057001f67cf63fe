import { letReadersGoFirst } from '@/lib/telemetry/readers'

/**
 * How long a piece of work computes before requests that wait get their turn, ms. A page needs a dozen turns of the event
 * loop, one for each answer of the database.
 */
const SLICE_MS = 4
/**
 * How long after a slice the next one begins at the latest, ms, however many readers wait: all bodies together then still
 * get a fifth of the time.
 */
const MAX_PAUSE_MS = 16

const shared = globalThis as typeof globalThis & { holdfastTurns?: Turns }

/** Lets one piece of work go on at a time, however many there are, and readers go before all of them. */
class Turns {
  readonly #waiting: (() => void)[] = []
  #isSet = false

  take(): Promise<void> {
    return new Promise((resolve) => {
      this.#waiting.push(resolve)
      this.#set()
    })
  }

  #set(): void {
    if (this.#isSet) return
    this.#isSet = true
    const deadline = performance.now() + MAX_PAUSE_MS
    setImmediate(async () => {
      await letReadersGoFirst(deadline)
      this.#isSet = false
      this.#waiting.shift()?.()
      if (this.#waiting.length > 0) this.#set()
    })
  }
}

/**
 * Waits until readers and the long work of others went first: before a slice of long work.
 * Kept on `globalThis`, because Next may load a module more than once in one process.
 */
export function letOthersGoFirst(): Promise<void> {
  shared.holdfastTurns ??= new Turns()
  return shared.holdfastTurns.take()
}

/**
 * Runs the long computations of one request in slices, so that the server goes on answering others. Pure code offers its
 * work as a generator, whose every step is short.
 */
export class TimeSlices {
  /** Computing time so far, ms. */
  spentMs = 0

  /** Runs all steps and returns what the generator returns. */
  async run<T>(steps: Generator<unknown, T>): Promise<T> {
    let startedAt = performance.now()
    try {
      for (;;) {
        const step = steps.next()
        if (step.done) return step.value
        const tookMs = performance.now() - startedAt
        if (tookMs < SLICE_MS) continue
        this.spentMs += tookMs
        await letOthersGoFirst()
        startedAt = performance.now()
      }
    } finally {
      this.spentMs += performance.now() - startedAt
    }
  }

  /** Collects what a computation yields; null is only a pause. */
  async collect<T>(items: Iterable<T | null>): Promise<T[]> {
    const collected: T[] = []
    await this.run(
      (function* () {
        for (const item of items) {
          if (item !== null) collected.push(item)
          yield
        }
      })(),
    )
    return collected
  }
}
