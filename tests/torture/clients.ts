import { setTimeout as wait } from 'node:timers/promises'
import type { Answer } from '@/lib/intake/answers/answer'
import { makeRandom } from '@/tests/bench/manyEvents'
import { makeEventSource } from './programme'
import type { SentEvent, SentRecord } from './sentRecord'

export interface ClientOptions {
  record: SentRecord
  /** The secrets of the keys, one for each client; its source is `client 1`, `client 2`, ... */
  keys: readonly string[]
  /** Where the next request goes, like http://127.0.0.1:4800; asked each time, since a server may come back elsewhere. */
  address: () => string
  seed: number
  /** The first id of this run of clients; no two runs on one programme may share one. */
  run: number
}

const LARGEST_BODY = 20
const PATIENCE_MS = 30_000
/** A body that stays without an acknowledgement so long is given up: it was sent, and may be stored or not. */
const GIVE_UP_MS = 90_000

/**
 * Machines that post valid events, one body after another, and send a body again until it is acknowledged. A refusal
 * for now (429, 503) and a connection that breaks are no acknowledgement.
 */
export class Clients {
  #isStopping = false
  /** What became last of a body that was not acknowledged. */
  #lastTrouble = 'nothing was answered yet'
  readonly #running: Promise<void>[]
  readonly #options: ClientOptions

  constructor(options: ClientOptions) {
    this.#options = options
    this.#running = options.keys.map((key, index) => this.#post(key, index))
  }

  /** Waits until `count` more events are acknowledged, calling `meanwhile` again and again; fails after `limitMs`. */
  async waitForMore(count: number, limitMs = 60_000, meanwhile = () => {}): Promise<void> {
    const { acknowledged } = this.#options.record
    const [wanted, endAt] = [acknowledged.size + count, Date.now() + limitMs]
    while (acknowledged.size < wanted) {
      if (Date.now() > endAt)
        throw new Error(
          `No ${count} events were acknowledged in ${limitMs / 1_000} s. Last without: ${this.#lastTrouble}.`,
        )
      meanwhile()
      await wait(10)
    }
  }

  /** Lets each client finish its body. */
  async stop(): Promise<void> {
    this.#isStopping = true
    await Promise.all(this.#running)
  }

  async #post(key: string, index: number) {
    const { seed, run } = this.#options
    const random = makeRandom(seed + index * 7_919)
    const make = makeEventSource(`client ${index + 1}`, `${run}`, random)
    while (!this.#isStopping) {
      const events = make(1 + Math.floor(random() * LARGEST_BODY))
      this.#options.record.send(events)
      for (const endAt = Date.now() + GIVE_UP_MS; Date.now() < endAt; ) {
        if (await this.#sendOnce(key, events)) break
        await wait(20 + random() * 180)
      }
    }
  }

  /** @returns whether the body was answered, so that it need not be sent again. */
  async #sendOnce(key: string, events: readonly SentEvent[]): Promise<boolean> {
    const { record, address } = this.#options
    const at = address()
    const note = (what: string) => {
      this.#lastTrouble = `${what} of ${at} at ${new Date().toISOString()}`
    }
    try {
      const reply = await fetch(`${at}/api/events`, {
        method: 'POST',
        headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
        body: JSON.stringify(events),
        signal: AbortSignal.timeout(PATIENCE_MS),
      })
      const text = await reply.text()
      if (reply.status !== 200) note(`${reply.status} ${text.slice(0, 300)}`)
      if (reply.status === 503 || reply.status === 429) return false
      if (reply.status !== 200) {
        record.wrongAnswers.push(`${reply.status}: ${text.slice(0, 300)}`)
        return false
      }
      record.hear((JSON.parse(text) as Answer).items, true)
      return true
    } catch (error) {
      // The connection broke, or the answer came in part: nothing is acknowledged.
      const { cause, message } = error as Error & { cause?: Error }
      note(cause?.message || message)
      return false
    }
  }
}
