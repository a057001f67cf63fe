import { spawnSync } from 'node:child_process'
import { existsSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import type { Binaries } from './binaries'
import { EngineError } from './engineError'
import { findClusterProcesses } from './processes'

/** The longest time for all steps, ms; the parts of it for a fast shutdown, an immediate one, and the end by SIGKILL. */
const longestMs = 40_000
const shares = { fast: 0.75, immediate: 0.125, kill: 0.125 }

export interface Stopped {
  /** What was running, in sentences; empty if nothing ran. */
  remarks: string[]
  /** A sentence if PostgreSQL did not shut down in time; else null. */
  cut: string | null
}

/**
 * Ends every process of a cluster and waits until none is left: a fast shutdown, then an immediate one (the next start
 * recovers from the write-ahead log), then SIGKILL. Then removes the `postmaster.pid` of a killed postmaster:
 * PostgreSQL refuses to start if another process of its user has reused that id. The caller holds the lock of the data
 * folder.
 * @param limitMs the time for all of that.
 * @throws EngineError if processes cannot be ended.
 */
export async function stopProcesses(
  clusterDir: string,
  binaries: Binaries,
  limitMs = longestMs,
): Promise<Stopped> {
  const stepsMs = Math.min(limitMs, longestMs)
  let cut: string | null = null
  if (!existsSync(clusterDir)) return { remarks: [], cut }
  if (process.platform === 'win32') return stopOnWindows(clusterDir, binaries, stepsMs)
  const { postmaster, all } = findClusterProcesses(clusterDir)
  const remarks: string[] = []
  if (postmaster !== null) {
    remarks.push(`Stopped the PostgreSQL that an earlier run left running (process ${postmaster}).`)
    signal([postmaster], 'SIGINT')
    if (!(await waitUntilGone(clusterDir, shares.fast * stepsMs))) {
      cut = CUT
      signal([postmaster], 'SIGQUIT')
    }
  } else if (all.length > 0) {
    remarks.push(`Ended the remaining processes of a killed PostgreSQL (${all.join(', ')}).`)
    signal(all, 'SIGQUIT')
  }
  if (!(await waitUntilGone(clusterDir, shares.immediate * stepsMs)))
    signal(findClusterProcesses(clusterDir).all, 'SIGKILL')
  if (!(await waitUntilGone(clusterDir, shares.kill * stepsMs))) {
    const left = findClusterProcesses(clusterDir).all.join(', ')
    throw new EngineError(
      `PostgreSQL still runs on ${clusterDir} (process ${left}) and cannot be stopped. Stop it, then start again.`,
    )
  }
  rmSync(join(clusterDir, 'postmaster.pid'), { force: true })
  return { remarks, cut }
}

const CUT = 'PostgreSQL did not shut down in time and was cut off. The next start recovers from its log.'

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
  for (const startedAt = performance.now(); ; ) {
    if (findClusterProcesses(clusterDir).all.length === 0) return true
    if (performance.now() - startedAt >= limitMs) return false
    await wait(50)
  }
}

/** Windows has no signals; pg_ctl has its own protocol. */
function stopOnWindows(clusterDir: string, { pgCtl }: Binaries, limitMs: number): Stopped {
  const status = spawnSync(pgCtl, ['status', '-D', clusterDir])
  if (status.status !== 0) return { remarks: [], cut: null }
  const end = (mode: string, share: number) =>
    spawnSync(pgCtl, [
      'stop',
      '-D',
      clusterDir,
      '-w',
      '-m',
      mode,
      '-t',
      `${Math.ceil((share * limitMs) / 1000)}`,
    ])
  const isCut = end('fast', shares.fast).status !== 0
  if (isCut) end('immediate', shares.immediate)
  const remarks = ['Stopped the PostgreSQL that an earlier run left running.']
  return { remarks, cut: isCut ? CUT : null }
}
