import { spawn } from 'node:child_process'
import type { Socket } from 'node:net'

/** Waits for the end of the pipe that only this process holds open, then asks PostgreSQL for a fast shutdown. */
const SCRIPT = `trap '' HUP INT TERM; read -r _; kill -INT "$1"`

/**
 * Ends PostgreSQL if this process dies without ending it: a shell, in a process group of its own, watches over both. On
 * Windows nothing does; there the next start ends what it finds.
 * @param pid the postmaster.
 * @returns a function that ends the watch, for after PostgreSQL has ended.
 */
export function endWithUs(pid: number): () => void {
  if (process.platform === 'win32') return () => {}
  const watcher = spawn('/bin/sh', ['-c', SCRIPT, 'holdfast-engine-watch', String(pid)], {
    cwd: '/',
    detached: true,
    stdio: ['pipe', 'ignore', 'ignore'],
  })
  // Without a shell the next start ends what it finds.
  watcher.on('error', () => {})
  const pipe = watcher.stdin as Socket
  pipe.on('error', () => {})
  pipe.unref()
  watcher.unref()
  return () => void watcher.kill('SIGKILL')
}
