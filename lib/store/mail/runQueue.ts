import { setImmediate, setTimeout } from 'node:timers/promises'
import type pg from 'pg'
import PgBoss from 'pg-boss'
import { MAIL_QUEUE, POLL_QUEUE, QUEUE_SCHEMA } from '../migrate/queueSchema'
import type { DigestKey } from './digestMails'
import { resetQueueTimesAhead } from './queueClock'

/** A job of the queue: one mail. */
export interface MailJob extends DigestKey {
  id: string
  /** Whether this is the last try of the job. */
  isLastTry: boolean
}

export interface QueueWork {
  /** Enqueues mails that are due. */
  poll(): Promise<void>
  /**
   * One for each mail that may be sent at the same time. A sender has one job at a time, and completes or retries it itself; if it
   * throws, the job is retried. @returns whether the next job may follow without a pause.
   */
  senders: readonly ((job: MailJob) => Promise<boolean>)[]
  /** Gets a sentence about what went wrong, at most once a minute. */
  onFault(sentence: string): void
  /** How often jobs are fetched, and jobs of dead senders are found, s. */
  intervals?: QueueIntervals
}

export interface QueueIntervals {
  pollingIntervalSeconds: number
  maintenanceIntervalSeconds: number
}

const DEFAULT_INTERVALS: QueueIntervals = { pollingIntervalSeconds: 2, maintenanceIntervalSeconds: 60 }
/** Delay before a failed statement of pg-boss is retried once, ms. All of them may run twice. */
const RETRY_AFTER_MS = 500
const FAULT_INTERVAL_MS = 60_000
/** Jobs that a sender fetches together, since each fetch sorts all that wait. If it dies, they all wait a quarter of an hour. */
const BATCH_SIZE = 20
/** Maximum wait for mails in hand when the work stops, ms. */
const STOP_TIMEOUT_MS = 10_000

/**
 * Runs the queue. pg-boss decides when to poll, which mail is next and on which server, when to retry, and when a sender has
 * died. The pool works as `holdfast_door`, with two connections for each sender and three more.
 * @returns a function that stops it: it begins nothing new and waits up to ten seconds for mails in hand. The pool stays open.
 * @throws Error if the queue's tables are missing, or of another version.
 */
export async function runQueue(authPool: pg.Pool, work: QueueWork): Promise<() => Promise<void>> {
  const inProgress = new Set<Promise<unknown>>()
  let [isRunning, isStopping, reportedAt] = [false, false, Number.NEGATIVE_INFINITY]
  const reportFault = (error: Error) => {
    if (Date.now() - reportedAt < FAULT_INTERVAL_MS) return
    reportedAt = Date.now()
    work.onFault(`Mail delivery failed: ${error.message}`)
  }
  function track<T>(done: Promise<T>): Promise<T> {
    const forget = () => inProgress.delete(done)
    inProgress.add(done)
    done.then(forget, forget)
    return done
  }
  const queryWithRetry = (text: string, values: unknown[]) =>
    authPool.query(text, values).catch(async () => {
      await setTimeout(RETRY_AFTER_MS)
      return authPool.query(text, values)
    })
  const executeSql = async (text: string, values: unknown[]) => {
    try {
      return await track(queryWithRetry(text, values))
    } catch (error) {
      reportFault(error as Error)
      if (!isRunning) throw error
      // pg-boss does not await the completion of a job, so a rejection here would end the process. Its own connection gives
      // undefined, too, once it is closed. A job whose completion is lost is found later, like a dead sender's.
      return undefined as never
    }
  }
  const pace = work.intervals ?? DEFAULT_INTERVALS
  const boss = new PgBoss({ schema: QUEUE_SCHEMA, db: { executeSql }, migrate: false, ...pace })
  boss.on('error', reportFault)
  await boss.start()
  isRunning = true
  const resetTimes = () => track(resetQueueTimesAhead(authPool)).catch(reportFault)
  await resetTimes()
  const resetting = setInterval(resetTimes, pace.maintenanceIntervalSeconds * 1_000).unref()

  await boss.work(POLL_QUEUE, async () => {
    await track(work.poll()).catch((error) => {
      reportFault(error)
      throw error
    })
  })
  for (const send of work.senders) {
    const sendOne = async ({ id, data, retryCount, retryLimit }: PgBoss.JobWithMetadata<DigestKey>) => {
      try {
        if (isStopping) throw new Error('The server is stopping.')
        return await send({ ...data, id, isLastTry: retryCount >= retryLimit })
      } catch (error) {
        if (!isStopping) reportFault(error as Error)
        await boss.fail(MAIL_QUEUE, id, { said: (error as Error).message })
        return true
      }
    }
    // A sender whose jobs were taken for a dead one's may still be sending: its next jobs wait for it.
    let last = Promise.resolve(true)
    const options = { includeMetadata: true as const, batchSize: BATCH_SIZE }
    const worker = await boss.work<DigestKey>(MAIL_QUEUE, options, async (jobs) => {
      last = track(jobs.reduce((before, job) => before.then(() => sendOne(job)), last))
      if (await last) boss.notifyWorker(worker)
    })
  }

  return async () => {
    isStopping = true
    clearInterval(resetting)
    const until = Date.now() + STOP_TIMEOUT_MS
    await boss.stop({ timeout: STOP_TIMEOUT_MS })
    // A fetch in progress first hands its jobs on; they are then put back.
    do {
      await Promise.race([Promise.allSettled(inProgress), setTimeout(100)])
      await setImmediate()
    } while (inProgress.size > 0 && Date.now() < until)
  }
}
