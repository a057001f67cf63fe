import type pg from 'pg'
import { getAppPool, getAuthPool } from './sharedPool'
import type { WriterQueueState } from './writerQueue'
import { getWriterQueue, getWriters } from './writers'

/** What a pool does at this moment, in connections. */
export interface PoolState {
  name: 'readers' | 'writers' | 'door readers' | 'door writers'
  max: number
  open: number
  idle: number
  /** Who waits for one. */
  waiting: number
}

/** The pools of this process; opens no connection. */
export function listPoolStates(): PoolState[] {
  const [app, door] = [getAppPool(), getAuthPool()]
  return [
    toState('readers', app),
    toState('writers', getWriters(app)),
    toState('door readers', door),
    toState('door writers', getWriters(door)),
  ]
}

/** The queues of this process: of those who write to the ledgers, and of those who change people. */
export function listWriterQueueStates(): (WriterQueueState & { name: 'ledgers' | 'people' })[] {
  return [
    { name: 'ledgers', ...getWriterQueue(getAppPool()).state },
    { name: 'people', ...getWriterQueue(getAuthPool()).state },
  ]
}

function toState(name: PoolState['name'], pool: pg.Pool): PoolState {
  const { options, totalCount: open, idleCount: idle, waitingCount: waiting } = pool
  return { name, max: options.max, open, idle, waiting }
}
