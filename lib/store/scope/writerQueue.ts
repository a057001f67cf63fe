/** There are too many writers already, or the wait was too long. Nothing was stored; a retry may succeed. */
export class TooManyWriters extends Error {
  override name = 'TooManyWriters'
}

/** One who waits for the turn. */
interface Waiting {
  sinceAt: number
  start: () => void
}

/** What metrics read of a queue; counts are since the start of the process. */
export interface WriterQueueState {
  /** Whether a writer is at work. */
  isWorking: boolean
  waiting: number
  /** How long the first one has waited, ms; 0 if nobody waits. */
  longestWaitMs: number
  /** Writers let in, and how long they waited in all, ms. */
  admitted: number
  waitedMs: number
  /** Writers turned away: the queue was full, or their wait too long. */
  refused: number
}

export interface WriterQueueLimits {
  /** How many may wait. */
  capacity: number
  /** How long one may wait before it is turned away, ms. */
  maxWaitMs: number
}

/**
 * Lets one writer of this process work at a time, first come first served, so that those who wait hold no connection.
 * Elapsed times come from the monotonic clock.
 */
export class WriterQueue {
  readonly #limits: WriterQueueLimits
  readonly #waiting = new Set<Waiting>()
  #isWorking = false
  #writers = 0
  #admitted = 0
  #waitedMs = 0
  #refused = 0

  constructor(limits: WriterQueueLimits) {
    this.#limits = limits
  }

  /** Whether a writer works or waits that may wait for others; brief work does not count. */
  get hasWriters(): boolean {
    return this.#writers > 0
  }

  get state(): WriterQueueState {
    const [first] = this.#waiting
    return {
      isWorking: this.#isWorking,
      waiting: this.#waiting.size,
      longestWaitMs: first ? performance.now() - first.sinceAt : 0,
      admitted: this.#admitted,
      waitedMs: this.#waitedMs,
      refused: this.#refused,
    }
  }

  /**
   * Runs the work of a request when its turn comes.
   * @throws TooManyWriters at once if the queue is full, or when the wait is too long; the work has not begun then.
   */
  async run<T>(work: () => Promise<T>): Promise<T> {
    if (this.#isWorking && this.#waiting.size >= this.#limits.capacity)
      throw this.#refuse('The queue is full.')
    return this.#runAsWriter(work, this.#limits.maxWaitMs)
  }

  /** Runs background work when its turn comes, however late. The caller ensures that there is little of it. */
  runInBackground<T>(work: () => Promise<T>): Promise<T> {
    return this.#runAsWriter(work, null)
  }

  /** The same for work that waits for nobody else once its turn has come. */
  runBriefly<T>(work: () => Promise<T>): Promise<T> {
    return this.#takeTurn(work, null)
  }

  async #runAsWriter<T>(work: () => Promise<T>, maxWaitMs: number | null): Promise<T> {
    this.#writers += 1
    try {
      return await this.#takeTurn(work, maxWaitMs)
    } finally {
      this.#writers -= 1
    }
  }

  async #takeTurn<T>(work: () => Promise<T>, maxWaitMs: number | null): Promise<T> {
    const sinceAt = performance.now()
    if (this.#isWorking) await this.#wait(sinceAt, maxWaitMs)
    this.#isWorking = true
    this.#admitted += 1
    this.#waitedMs += performance.now() - sinceAt
    try {
      return await work()
    } finally {
      this.#passOn()
    }
  }

  /** Resolves when the writer before has passed the turn on; the queue counts as working in between. */
  #wait(sinceAt: number, maxWaitMs: number | null): Promise<void> {
    return new Promise((resolve, reject) => {
      let timer: NodeJS.Timeout | undefined
      const one: Waiting = {
        sinceAt,
        start: () => {
          clearTimeout(timer)
          resolve()
        },
      }
      this.#waiting.add(one)
      if (maxWaitMs === null) return
      timer = setTimeout(() => {
        this.#waiting.delete(one)
        reject(this.#refuse(`The turn did not come within ${maxWaitMs} ms.`))
      }, maxWaitMs)
    })
  }

  #passOn(): void {
    const [next] = this.#waiting
    if (!next) {
      this.#isWorking = false
      return
    }
    this.#waiting.delete(next)
    next.start()
  }

  #refuse(why: string): TooManyWriters {
    this.#refused += 1
    return new TooManyWriters(`Too many writers: ${why}`)
  }
}
