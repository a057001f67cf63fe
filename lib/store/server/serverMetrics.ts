import type pg from 'pg'
import type { ReadMetric } from '@/lib/telemetry/metrics'
import { getAppPool, getAuthPool } from '../scope/sharedPool'
import { getWriterQueue, getWriters } from '../scope/writers'
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
  const { isWorking, waiting, longestWaitMs, admitted, waitedMs, refused } = getWriterQueue(
    getAppPool(),
  ).state
  const values = (value: number) => ({ '': value })
  return [
    {
      name: 'holdfast_writer_busy',
      help: '1 while a writer works',
      type: 'gauge',
      values: values(+isWorking),
    },
    {
      name: 'holdfast_writers_waiting',
      help: 'Requests that wait for the writer before them',
      type: 'gauge',
      values: values(waiting),
    },
    {
      name: 'holdfast_writer_longest_wait_seconds',
      help: 'How long the first of them has waited',
      type: 'gauge',
      values: values(longestWaitMs / 1000),
    },
    {
      name: 'holdfast_writers_admitted',
      help: 'Writers let in',
      type: 'counter',
      values: values(admitted),
    },
    {
      name: 'holdfast_writers_refused',
      help: 'Writers turned away',
      type: 'counter',
      values: values(refused),
    },
    {
      name: 'holdfast_writer_wait_seconds',
      help: 'How long writers waited in all',
      type: 'counter',
      values: values(waitedMs / 1000),
    },
  ]
}

function describePools(): ReadMetric[] {
  const [app, door] = [getAppPool(), getAuthPool()]
  const pools: Record<string, pg.Pool> = {
    'app readers': app,
    'app writers': getWriters(app),
    'door readers': door,
    'door writers': getWriters(door),
  }
  const each = (name: string, help: string, count: (pool: pg.Pool) => number): ReadMetric => ({
    name,
    help,
    type: 'gauge',
    label: 'pool',
    values: Object.fromEntries(Object.entries(pools).map(([key, pool]) => [key, count(pool)])),
  })
  return [
    each('holdfast_pool_connections', 'Open connections of each pool', ({ totalCount }) => totalCount),
    each('holdfast_pool_idle', 'Those of them that nobody uses', ({ idleCount }) => idleCount),
    each('holdfast_pool_waiting', 'Who waits for a connection', ({ waitingCount }) => waitingCount),
  ]
}
