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
 * Ends every process of a cluster and waits until none is left: a fast shutdown, then an immediate one (the next start
 * recovers from the write-ahead log), then SIGKILL. Then removes the `postmaster.pid` of a killed postmaster:
 * PostgreSQL refuses to start if another process of its user has reused that id. The caller holds the lock of the data
 * folder.
 * @returns what it stopped, in sentences; empty if nothing ran.
 * @throws EngineError if processes cannot be ended.
 */
export async function stopProcesses(clusterDir: string, binaries: Binaries): Promise<string[]> {
  if (!existsSync(clusterDir)) return []
  if (process.platform === 'win32') return stopOnWindows(clusterDir, binaries)
  const { postmaster, all } = findClusterProcesses(clusterDir)
  const remarks: string[] = []
  if (postmaster !== null) {
    remarks.push(`Stopped the PostgreSQL that an earlier run left running (process ${postmaster}).`)
    signal([postmaster], 'SIGINT')
    if (!(await waitUntilGone(clusterDir, fastMs))) signal([postmaster], 'SIGQUIT')
  } else if (all.length > 0) {
    remarks.push(`Ended the remaining processes of a killed PostgreSQL (${all.join(', ')}).`)
    signal(all, 'SIGQUIT')
  }
  if (!(await waitUntilGone(clusterDir, immediateMs))) signal(findClusterProcesses(clusterDir).all, 'SIGKILL')
  if (!(await waitUntilGone(clusterDir, killMs))) {
    const left = findClusterProcesses(clusterDir).all.join(', ')
    throw new EngineError(
      `PostgreSQL still runs on ${clusterDir} (process ${left}) and cannot be stopped. Stop it, then start again.`,
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
      // Gone meanwhile, or another user's; survivors are reported at the end.
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

/** Windows has no signals; pg_ctl has its own protocol. */
function stopOnWindows(clusterDir: string, { pgCtl }: Binaries): string[] {
  const status = spawnSync(pgCtl, ['status', '-D', clusterDir])
  if (status.status !== 0) return []
  spawnSync(pgCtl, ['stop', '-D', clusterDir, '-m', 'fast', '-w'])
  return ['Stopped the PostgreSQL that an earlier run left running.']
}
