import type pg from 'pg'
import { english } from '@/lib/messages/english'
import {
  beginHandover,
  type ClaimedMail,
  type ComposedMail,
  claimMail,
  type MailResult,
  saveMailResult,
  undoHandover,
} from '@/lib/store/mail/digestMails'
import { completeJob, retryJob } from '@/lib/store/mail/mailJobs'
import type { MailJob } from '@/lib/store/mail/runQueue'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { withTransaction } from '@/lib/store/scope/transaction'
import { parseOccasion } from '../alerts/alertOccasion'
import type { OutgoingMail } from '../weekly/digestMail'
import type { HandoverReply, MailTransport } from './mailTransport'

/** The steps of sending one mail, in their order. */
export const STEPS = ['claimed', 'composed', 'ending', 'marked', 'answered', 'noted', 'kept'] as const
export type Step = (typeof STEPS)[number]

export interface Sender {
  /** Works as `holdfast_door`; each sender at once takes two connections of it. */
  authPool: pg.Pool
  transport: MailTransport
  /** The mail for a row; null where there is nothing to say to that person. */
  compose(claimed: ClaimedMail): Promise<OutgoingMail | null>
  /** ms UTC. */
  now(): number
  /** Told of each step as it is reached. */
  onStep?: (step: Step) => Promise<void> | void
}

/**
 * What became of a mail: `ended` where it had its fate before, `in hand` where another sender has it (should that one
 * die, the next look gives it another job), `line down` where the mail server could not be spoken to.
 */
export type SendOutcome = MailResult['state'] | 'ended' | 'in hand' | 'line down'

/** A mail that has been due for so long gets no further job, ms: the next week's is near, and says the same anew. */
const GIVE_UP_AFTER_MS = 4 * 86_400_000
const MAIL_ACTOR = { who: 'command', name: 'The weekly mail', address: null }

/**
 * Sends the mail of a job, if it still waits.
 *
 * Its row is locked from being claimed until its fate is kept, so nobody else takes it, and whoever finds it after a
 * crash finds it as it was. The last line, without which a server has no mail, goes only after a row of `digest_handover` is
 * committed; a crash before it is as if nothing had happened, and after it the mail is `uncertain` and is not repeated.
 * The job ends, or is put off, in the transaction that keeps the fate.
 */
export async function sendQueuedMail(sender: Sender, job: MailJob): Promise<SendOutcome> {
  const { authPool, onStep } = sender
  // A mail server may be slow to answer.
  const first = 'set local idle_in_transaction_session_timeout = 0'
  const fate = await withTransaction(authPool, (client) => sendClaimed(client, sender, job), first)
  if (fate !== 'ended' && fate !== 'in hand') await onStep?.('kept')
  return fate
}

async function sendClaimed(client: pg.PoolClient, sender: Sender, job: MailJob): Promise<SendOutcome> {
  const { authPool, transport: line, now, onStep = () => {} } = sender
  const claimed = await claimMail(client, job)
  if (claimed === 'ended' || claimed === 'in hand') return claimed
  await onStep('claimed')
  if (claimed.wasHandedOver)
    return saveResult(client, job, { state: 'uncertain', said: english('smtp.mayHaveArrived') }, now())
  const made = await tryCompose(sender, claimed)
  if (!made || 'fault' in made) {
    const end: MailResult = made
      ? toRetry(claimed, job, made.fault, now())
      : { state: 'nothing to say', said: null }
    return saveResult(client, job, end, now())
  }
  await onStep('composed')
  const answer = await line.handOver(made.wire, async () => {
    await onStep('ending')
    const isFirst = await beginHandover(authPool, claimed, now())
    if (isFirst) await onStep('marked')
    return isFirst
  })
  await onStep('answered')
  if (answer.kind === 'not ours') return 'in hand'
  if (answer.kind === 'not taken') await undoHandover(client, claimed)
  const kept = await saveResult(client, job, toMailResult(answer, claimed, job, made.mail, now()), now())
  await onStep('noted')
  return answer.kind === 'not taken' && answer.isLineDown ? 'line down' : kept
}

/** A fault in making one mail must not keep the others from going. */
async function tryCompose({ compose }: Sender, claimed: ClaimedMail) {
  try {
    return await compose(claimed)
  } catch (error) {
    return { fault: (error as Error).message }
  }
}

/** One that is caught up late has all the tries of a job all the same. */
function toRetry({ dueAt }: ClaimedMail, { isLastTry }: MailJob, said: string, now: number): MailResult {
  return { state: isLastTry && now - dueAt > GIVE_UP_AFTER_MS ? 'given up' : 'waiting', said }
}

function toMailResult(
  answer: Exclude<HandoverReply, { kind: 'not ours' }>,
  claimed: ClaimedMail,
  job: MailJob,
  mail: ComposedMail,
  now: number,
): MailResult {
  switch (answer.kind) {
    case 'taken':
      return { state: answer.isWritten ? 'written' : 'sent', said: answer.said, mail }
    case 'no answer':
      return { state: 'uncertain', said: answer.said, mail }
    case 'not taken':
      return {
        ...(answer.isLasting
          ? { state: 'refused', said: answer.said }
          : toRetry(claimed, job, answer.said, now)),
        mail,
      }
  }
}

/** Keeps the fate of a mail, and puts on record what an administrator has to know of. */
async function saveResult(
  client: pg.PoolClient,
  job: MailJob,
  end: MailResult,
  now: number,
): Promise<MailResult['state']> {
  await saveMailResult(client, job, end, now)
  if (end.state === 'waiting') await retryJob(client, job.id, end.said ?? '')
  else await completeJob(client, job.id)
  if (end.state === 'refused' || end.state === 'given up' || end.state === 'uncertain') {
    const isAtOnce = parseOccasion(job.occasion) !== null
    const after = { [isAtOnce ? 'for' : 'week']: job.occasion, fate: end.state, said: end.said }
    const line = {
      what: isAtOnce ? 'sent a mail at once' : 'sent the weekly mail',
      subject: job.personId,
      after,
      outcome: 'refused' as const,
    }
    await appendToAuditLog(client, MAIL_ACTOR, [line], now)
  }
  return end.state
}
