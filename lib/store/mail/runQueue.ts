import { setImmediate, setTimeout } from 'node:timers/promises'
import type pg from 'pg'
import PgBoss from 'pg-boss'
import { MAIL_QUEUE, POLL_QUEUE, QUEUE_SCHEMA } from '../migrate/queueSchema'
import type { DigestKey } from './digestMails'

/** A job of the queue: one mail, by the key of its row. */
export interface MailJob extends DigestKey {
  id: string
  /** Whether the job has used up its tries with this one. */
  isLastTry: boolean
}

export interface QueueWork {
  /** Looks for mails that are due, and enters them. */
  poll(): Promise<void>
  /**
   * One for each mail that is to go at once. Each sees to one job at a time, and has to end it or put it off itself; one
   * that throws has it put off. @returns whether more may follow without a pause.
   */
  senders: readonly ((job: MailJob) => Promise<boolean>)[]
  /** Told what went wrong, in a sentence, at most once a minute. */
  onFault(sentence: string): void
  /** How often it is asked for jobs, and for those of dead senders, s. */
  intervals?: QueueIntervals
}

export interface QueueIntervals {
  pollingIntervalSeconds: number
  maintenanceIntervalSeconds: number
}

const DEFAULT_INTERVALS: QueueIntervals = { pollingIntervalSeconds: 2, maintenanceIntervalSeconds: 60 }
/** So long after a failure pg-boss's statements, all of which may be run twice, are tried once more, ms. */
const RETRY_AFTER_MS = 500
const FAULT_INTERVAL_MS = 60_000
/**
 * So many jobs a sender takes up together, since finding the next one sorts all that wait. Where it dies, so many wait for
 * the end of a quarter of an hour.
 */
const BATCH_SIZE = 20
/** So long a mail in hand is waited for when the work stops, ms. */
const STOP_TIMEOUT_MS = 10_000

/**
 * Has pg-boss drive the work: when to look, which mail is next and on which server, when one is tried again, and when a
 * sender has died. `door` works as `holdfast_door` and has to have two connections for each sender and three more.
 * @returns what stops it: it begins nothing more, and waits up to ten seconds for what is in hand. The pool stays open.
 * @throws Error if the queue is not there, or of another version.
 */
export async function runQueue(authPool: pg.Pool, work: QueueWork): Promise<() => Promise<void>> {
  const underWay = new Set<Promise<unknown>>()
  let [isRunning, isStopping, toldAt] = [false, false, Number.NEGATIVE_INFINITY]
  const tell = (error: Error) => {
    if (Date.now() - toldAt < FAULT_INTERVAL_MS) return
    toldAt = Date.now()
    work.onFault(`The mails could not be seen to: ${error.message}`)
  }
  function noted<T>(done: Promise<T>): Promise<T> {
    const forget = () => underWay.delete(done)
    underWay.add(done)
    done.then(forget, forget)
    return done
  }
  const asked = (text: string, values: unknown[]) =>
    authPool.query(text, values).catch(async () => {
      await setTimeout(RETRY_AFTER_MS)
      return authPool.query(text, values)
    })
  const executeSql = async (text: string, values: unknown[]) => {
    try {
      return await noted(asked(text, values))
    } catch (error) {
      tell(error as Error)
      if (!isRunning) throw error
      // pg-boss does not wait for the end of a job to be written, so a refusal there would end the process. No answer
      // is what its own connection gives once it is closed; a job whose end was lost is taken for a dead sender's.
      return undefined as never
    }
  }
  const pace = work.intervals ?? DEFAULT_INTERVALS
  const boss = new PgBoss({ schema: QUEUE_SCHEMA, db: { executeSql }, migrate: false, ...pace })
  boss.on('error', tell)
  await boss.start()
  isRunning = true

  await boss.work(POLL_QUEUE, async () => {
    await noted(work.poll()).catch((error) => {
      tell(error)
      throw error
    })
  })
  for (const send of work.senders) {
    const sendOne = async ({ id, data, retryCount, retryLimit }: PgBoss.JobWithMetadata<DigestKey>) => {
      try {
        if (isStopping) throw new Error('The server is stopping.')
        return await send({ ...data, id, isLastTry: retryCount >= retryLimit })
      } catch (error) {
        if (!isStopping) tell(error as Error)
        await boss.fail(MAIL_QUEUE, id, { said: (error as Error).message })
        return true
      }
    }
    // One whose jobs were taken for a dead sender's is still at them: its next have to wait for it.
    let last = Promise.resolve(true)
    const options = { includeMetadata: true as const, batchSize: BATCH_SIZE }
    const worker = await boss.work<DigestKey>(MAIL_QUEUE, options, async (jobs) => {
      last = noted(jobs.reduce((before, job) => before.then(() => sendOne(job)), last))
      if (await last) boss.notifyWorker(worker)
    })
  }

  return async () => {
    isStopping = true
    const until = Date.now() + STOP_TIMEOUT_MS
    await boss.stop({ timeout: STOP_TIMEOUT_MS })
    // What was being fetched meanwhile is handed on first, and then put back.
    do {
      await Promise.race([Promise.allSettled(underWay), setTimeout(100)])
      await setImmediate()
    } while (underWay.size > 0 && Date.now() < until)
  }
}
