import type { ReadMetric } from '@/lib/telemetry/metrics'
import { listPoolStates, listWriterQueueStates, type PoolState } from '../scope/poolStates'
import type { WriterQueueState } from '../scope/writerQueue'
import { getReadiness, type Readiness } from './readiness'

const STATES = { ok: 0, warning: 1, failed: 2 } as const

/** What metrics say of the database, the mails, the disk, the backup, the writers and the pools at `now` (ms UTC). */
export async function readServerMetrics(now: number): Promise<ReadMetric[]> {
  return [...describeReadiness(await getReadiness(), now), ...describeWriters(), ...describePools()]
}

function describeReadiness({ isReady, checks, facts }: Readiness, now: number): ReadMetric[] {
  const { mails, disk, backup } = facts
  const ageSeconds = (at: number | null | undefined) => (at == null ? null : Math.max(0, (now - at) / 1000))
  const one = (name: string, help: string, value: number | null): ReadMetric => ({
    name,
    help,
    type: 'gauge',
    values: { '': value },
  })
  return [
    one('holdfast_ready', '1 if the server can serve, else 0', isReady ? 1 : 0),
    {
      name: 'holdfast_check',
      help: 'What is checked for readiness: 0 all right, 1 someone has to look, 2 it cannot serve',
      type: 'gauge',
      label: 'check',
      values: Object.fromEntries(checks.map(({ name, state }) => [name, STATES[state]])),
    },
    {
      name: 'holdfast_mails',
      help: 'Mails by their fate, over all time',
      type: 'gauge',
      label: 'fate',
      values: mails?.counts ?? {},
    },
    one('holdfast_mail_queue_depth', 'Mails that wait to be sent', mails?.counts.waiting ?? null),
    one(
      'holdfast_mail_queue_oldest_seconds',
      'How long the mail that has waited longest has been due; 0 if none waits',
      mails && (ageSeconds(mails.waitingSince) ?? 0),
    ),
    one(
      'holdfast_mail_poll_age_seconds',
      'Since a server last looked for due mail',
      ageSeconds(mails?.polledAt),
    ),
    one('holdfast_backup_age_seconds', 'Since the last good backup', ageSeconds(backup?.lastGoodAt)),
    one('holdfast_disk_free_bytes', 'Room on the disk of the data folder', disk?.free ?? null),
    one('holdfast_disk_size_bytes', 'Size of the disk of the data folder', disk?.total ?? null),
  ]
}

function describeWriters(): ReadMetric[] {
  const queues = listWriterQueueStates()
  const each = (
    type: ReadMetric['type'],
    name: string,
    help: string,
    read: (queue: WriterQueueState) => number,
  ): ReadMetric => ({
    ...{ type, name, help, label: 'queue' },
    values: Object.fromEntries(queues.map((queue) => [queue.name, read(queue)])),
  })
  return [
    each('gauge', 'holdfast_writer_busy', '1 while a writer works', ({ isWorking }) => (isWorking ? 1 : 0)),
    each('gauge', 'holdfast_writers_waiting', 'Who waits to write', ({ waiting }) => waiting),
    each(
      'gauge',
      'holdfast_writer_longest_wait_seconds',
      'How long the first of them has waited',
      ({ longestWaitMs }) => longestWaitMs / 1000,
    ),
    each('counter', 'holdfast_writers_admitted', 'Writers let in', ({ admitted }) => admitted),
    each('counter', 'holdfast_writers_refused', 'Writers turned away', ({ refused }) => refused),
    each(
      'counter',
      'holdfast_writer_wait_seconds',
      'How long writers waited in all',
      ({ waitedMs }) => waitedMs / 1000,
    ),
  ]
}

function describePools(): ReadMetric[] {
  const pools = listPoolStates()
  const each = (name: string, help: string, read: (pool: PoolState) => number): ReadMetric => ({
    ...{ type: 'gauge', name, help, label: 'pool' },
    values: Object.fromEntries(pools.map((pool) => [pool.name, read(pool)])),
  })
  return [
    each('holdfast_pool_max', 'Connections that each pool may have', ({ max }) => max),
    each('holdfast_pool_open', 'Connections that it has', ({ open }) => open),
    each('holdfast_pool_idle', 'Those of them that nobody uses', ({ idle }) => idle),
    each('holdfast_pool_waiting', 'Who waits for one', ({ waiting }) => waiting),
  ]
}
