import { spawnSync } from 'node:child_process'
import { existsSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import type { Binaries } from './binaries'
import { EngineError } from './engineError'
import { findClusterProcesses } from './processes'

const fastMs = 30_000
const immediateMs = 5_000
const killMs = 5_000

/**
 * Ends every process of a cluster and waits until none is left, gently first: a fast shutdown, then an immediate one (the next start
 * recovers from the log of writes), then SIGKILL. Then takes away a `postmaster.pid` that a killed postmaster left: PostgreSQL
 * refuses to start when the id in it has been given to any other process of its user. The caller holds the data folder's lock.
 * @returns what it found, in sentences; empty if nothing ran.
 * @throws EngineError if processes are left that can not be ended.
 */
export async function stopProcesses(clusterDir: string, binaries: Binaries): Promise<string[]> {
  if (!existsSync(clusterDir)) return []
  if (process.platform === 'win32') return stopOnWindows(clusterDir, binaries)
  const { postmaster, all } = findClusterProcesses(clusterDir)
  const remarks: string[] = []
  if (postmaster !== null) {
    remarks.push(`Stopped the PostgreSQL that an earlier run left alone (process ${postmaster}).`)
    signal([postmaster], 'SIGINT')
    if (!(await waitUntilGone(clusterDir, fastMs))) signal([postmaster], 'SIGQUIT')
  } else if (all.length > 0) {
    remarks.push(`Ended what a killed PostgreSQL left behind (process ${all.join(', ')}).`)
    signal(all, 'SIGQUIT')
  }
  if (!(await waitUntilGone(clusterDir, immediateMs))) signal(findClusterProcesses(clusterDir).all, 'SIGKILL')
  if (!(await waitUntilGone(clusterDir, killMs))) {
    const left = findClusterProcesses(clusterDir).all.join(', ')
    throw new EngineError(
      `PostgreSQL still runs on ${clusterDir} (process ${left}) and can not be ended. End it, then start again.`,
    )
  }
  rmSync(join(clusterDir, 'postmaster.pid'), { force: true })
  return remarks
}

function signal(pids: number[], name: NodeJS.Signals) {
  for (const pid of pids) {
    try {
      process.kill(pid, name)
    } catch {
      // Gone meanwhile, or another user's: what is left at the end is reported.
    }
  }
}

async function waitUntilGone(clusterDir: string, limitMs: number): Promise<boolean> {
  for (let waitedMs = 0; ; waitedMs += 50) {
    if (findClusterProcesses(clusterDir).all.length === 0) return true
    if (waitedMs >= limitMs) return false
    await wait(50)
  }
}

/** Windows has no signals; pg_ctl has its own way of asking. */
function stopOnWindows(clusterDir: string, { pgCtl }: Binaries): string[] {
  const status = spawnSync(pgCtl, ['status', '-D', clusterDir])
  if (status.status !== 0) return []
  spawnSync(pgCtl, ['stop', '-D', clusterDir, '-m', 'fast', '-w'])
  return ['Stopped the PostgreSQL that an earlier run left alone.']
}
