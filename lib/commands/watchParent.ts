import { isRunByNpm } from '@/lib/store/environment'

const CHECK_INTERVAL_MS = 500
// Read as early as possible: npm may die before the first check.
const parent = process.ppid

/**
 * Calls `listener` once npm, if it started this process, is gone. A closed terminal or SIGKILL ends npm alone, and then
 * nothing else tells its child. A process without npm may outlive the shell that started it, so it is not watched.
 */
export function onNpmGone(listener: () => void) {
  if (!isRunByNpm()) return
  const timer = setInterval(() => {
    if (process.ppid === parent && isAlive(parent)) return
    clearInterval(timer)
    listener()
  }, CHECK_INTERVAL_MS)
  timer.unref()
}

/** Windows keeps the id of a dead parent. */
function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ESRCH'
  }
}
