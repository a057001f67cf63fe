import pLimit, { type LimitFunction } from 'p-limit'

/** Too many of one name wait already, or the wait was too long. The work has not begun. */
export class TooManyWaiting extends Error {
  override name = 'TooManyWaiting'
}

export interface TurnLimits {
  /** How many of one name work at a time. */
  atOnce: number
  /** How many of one name may wait. */
  maxWaiting: number
  /** How long one may wait before it is turned away, ms. */
  maxWaitMs: number
}

interface Queue {
  limit: LimitFunction
  waiting: number
  /** Those who wait, work, or were turned away while they waited: without any the queue is forgotten. */
  known: number
}

/** Lets a few of each name work at a time, first come first served, so that no name takes the whole server. */
export class Turns {
  readonly #limits: TurnLimits
  readonly #queues = new Map<string, Queue>()

  constructor(limits: TurnLimits) {
    this.#limits = limits
  }

  /**
   * Waits for a turn. The caller ends it by the function returned; a second call of that does nothing.
   * @throws TooManyWaiting at once if too many wait, or when the wait was too long.
   */
  take(name: string): Promise<() => void> {
    const { atOnce, maxWaiting, maxWaitMs } = this.#limits
    const queue = this.#queues.get(name) ?? { limit: pLimit(atOnce), waiting: 0, known: 0 }
    this.#queues.set(name, queue)
    return new Promise((resolve, reject) => {
      if (queue.waiting >= maxWaiting) {
        reject(new TooManyWaiting(`${maxWaiting} wait already.`))
        return
      }
      queue.waiting += 1
      queue.known += 1
      let isLate = false
      const timer = setTimeout(() => {
        isLate = true
        queue.waiting -= 1
        reject(new TooManyWaiting(`The turn did not come within ${maxWaitMs} ms.`))
      }, maxWaitMs)
      const work = async () => {
        if (isLate) return
        clearTimeout(timer)
        queue.waiting -= 1
        await new Promise<void>((end) => resolve(end))
      }
      queue.limit(work).then(() => {
        queue.known -= 1
        if (queue.known === 0) this.#queues.delete(name)
      })
    })
  }
}
