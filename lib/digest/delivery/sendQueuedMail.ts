import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import { english } from '@/lib/messages/english'
import {
  beginHandover,
  type ClaimedMail,
  type ComposedMail,
  claimMail,
  type DigestKey,
  type MailResult,
  saveMailResult,
  separateParts,
  undoHandover,
} from '@/lib/store/mail/digestMails'
import { completeJob, retryJob } from '@/lib/store/mail/mailJobs'
import { MAX_CLOCK_DIFFERENCE_MS } from '@/lib/store/mail/queueClock'
import type { MailJob } from '@/lib/store/mail/runQueue'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { withTransaction } from '@/lib/store/scope/transaction'
import { parseOccasion } from '../alerts/alertOccasion'
import type { OutgoingMail } from '../weekly/digestMail'
import type { HandoverReply, MailTransport } from './mailTransport'

/** The steps of sending one mail, in order. */
export const STEPS = ['claimed', 'composed', 'ending', 'marked', 'answered', 'noted', 'kept'] as const
export type Step = (typeof STEPS)[number]

export type OnStep = (step: Step, key: DigestKey) => Promise<void> | void

export interface Sender {
  /** Works as `holdfast_door`; each sender uses two connections of it. */
  authPool: pg.Pool
  transport: MailTransport
  /** Null if there is nothing to say to the person. */
  compose(claimed: ClaimedMail): Promise<OutgoingMail | null>
  /** ms UTC. */
  now(): number
  /** Called at each step of a mail, for tests. */
  onStep?: OnStep
}

/**
 * `ended`: the mail had its final state before. `in hand`: another sender has locked it (if that one dies, the next poll gives it
 * another job). `line down`: the mail server cannot be reached.
 */
export type SendOutcome = MailResult['state'] | 'ended' | 'in hand' | 'line down'

/** A mail that has been due for so long gets no further job, ms: the next week's is near and repeats what still holds. */
const GIVE_UP_AFTER_MS = 4 * 86_400_000
const MAIL_ACTOR = { who: 'command', name: 'The weekly mail', address: null }

/**
 * Sends the mail of a job, if it still waits.
 *
 * Its row is locked until its result is saved, so no other sender takes it, and a crash leaves it unchanged. The last line,
 * without which a server has no mail, is sent only after a row of `digest_handover` is committed: after a crash before that the
 * mail is retried, after a later one it is `uncertain` and not repeated. The job is completed or retried in the transaction that
 * saves the result.
 */
export async function sendQueuedMail(sender: Sender, job: MailJob): Promise<SendOutcome> {
  const { authPool, onStep } = sender
  // The transaction waits for the mail server, which may be slow.
  const first = 'set local idle_in_transaction_session_timeout = 0'
  const outcome = await withTransaction(authPool, (client) => sendClaimed(client, sender, job), first)
  if (outcome !== 'ended' && outcome !== 'in hand') await onStep?.('kept', job)
  return outcome
}

async function sendClaimed(client: pg.PoolClient, sender: Sender, job: MailJob): Promise<SendOutcome> {
  const { authPool, transport, now, onStep = () => {} } = sender
  const claimed = await claimMail(client, job)
  if (claimed === 'ended' || claimed === 'in hand') return claimed
  await onStep('claimed', job)
  if (claimed.wasHandedOver)
    return saveResult(client, job, { state: 'uncertain', said: english('smtp.mayHaveArrived') }, now())
  const isEarly = await putOffIfEarly(client, claimed, now())
  const made = isEarly === 'wholly' ? null : await tryCompose(sender, claimed)
  if (!made && isEarly) {
    // It waits without a job, and gets one from a later poll.
    await completeJob(client, job.id)
    return 'waiting'
  }
  if (!made || 'fault' in made) {
    const result: MailResult = made
      ? toRetry(claimed, job, made.fault, now())
      : { state: 'nothing to say', said: null }
    return saveResult(client, job, result, now())
  }
  await onStep('composed', job)
  const attempt = randomUUID()
  const mayEnd = async () => {
    await onStep('ending', job)
    const isFirst = await beginHandover(authPool, claimed, attempt, now())
    if (isFirst) await onStep('marked', job)
    return isFirst
  }
  const reply = await transport.handOver(made.wire, mayEnd).catch(async (error) => {
    // The commit failed or its answer was lost; the last line was not sent.
    await undoHandover(authPool, claimed, attempt)
    throw error
  })
  await onStep('answered', job)
  if (reply.kind === 'claimed elsewhere') return 'in hand'
  // Not in this transaction, which may have lost its connection while the mail server was slow.
  if (reply.kind === 'refused') await undoHandover(authPool, claimed, attempt)
  const kept = await saveResult(client, job, toMailResult(reply, claimed, job, made.mail, now()), now())
  await onStep('noted', job)
  return reply.kind === 'refused' && reply.isLineDown ? 'line down' : kept
}

/**
 * Whether a mail was made while the clock was ahead, and is not due yet. A weekly mail waits for its hour. An alert is sent as soon as
 * what it says holds; if it is about several samples, each of them gets a mail of its own. Small differences between the clocks
 * of two servers separate nothing.
 */
async function putOffIfEarly(
  client: pg.PoolClient,
  claimed: ClaimedMail & { lastPartDueAt: number | null },
  now: number,
): Promise<'wholly' | 'until it holds' | null> {
  const { dueAt, lastPartDueAt } = claimed
  const earlyMs = Math.max(dueAt, lastPartDueAt ?? dueAt) - now
  if (earlyMs <= 0) return null
  if (lastPartDueAt !== null && earlyMs > MAX_CLOCK_DIFFERENCE_MS) await separateParts(client, claimed)
  return lastPartDueAt !== null || parseOccasion(claimed.occasion) === null ? 'wholly' : 'until it holds'
}

/** A fault in one mail must not keep the others from going. */
async function tryCompose({ compose }: Sender, claimed: ClaimedMail) {
  try {
    return await compose(claimed)
  } catch (error) {
    return { fault: (error as Error).message }
  }
}

/** A mail that is caught up late still has all the tries of a job. */
function toRetry({ dueAt }: ClaimedMail, { isLastTry }: MailJob, said: string, now: number): MailResult {
  return { state: isLastTry && now - dueAt > GIVE_UP_AFTER_MS ? 'given up' : 'waiting', said }
}

function toMailResult(
  reply: Exclude<HandoverReply, { kind: 'claimed elsewhere' }>,
  claimed: ClaimedMail,
  job: MailJob,
  mail: ComposedMail,
  now: number,
): MailResult {
  switch (reply.kind) {
    case 'accepted':
      return { state: reply.isWritten ? 'written' : 'sent', said: reply.said, mail }
    case 'no reply':
      return { state: 'uncertain', said: reply.said, mail }
    case 'refused':
      return {
        ...(reply.isLasting
          ? { state: 'refused', said: reply.said }
          : toRetry(claimed, job, reply.said, now)),
        mail,
      }
  }
}

/** Saves the result, and audits what an administrator has to know. */
async function saveResult(
  client: pg.PoolClient,
  job: MailJob,
  result: MailResult,
  now: number,
): Promise<MailResult['state']> {
  await saveMailResult(client, job, result, now)
  if (result.state === 'waiting') await retryJob(client, job.id, result.said ?? '')
  else await completeJob(client, job.id)
  if (result.state === 'refused' || result.state === 'given up' || result.state === 'uncertain') {
    const isAlert = parseOccasion(job.occasion) !== null
    const after = { [isAlert ? 'for' : 'week']: job.occasion, fate: result.state, said: result.said }
    const line = {
      what: isAlert ? 'sent a mail at once' : 'sent the weekly mail',
      subject: job.personId,
      after,
      outcome: 'refused' as const,
    }
    await appendToAuditLog(client, MAIL_ACTOR, [line], now)
  }
  return result.state
}
