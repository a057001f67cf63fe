import { execFileSync } from 'node:child_process'
import { readdirSync, readFileSync, readlinkSync, statSync } from 'node:fs'

const hasProc = process.platform === 'linux'

/**
 * Distinguishes a process from a later one with the same id; null if there is no such process. A zombie counts as gone.
 */
export function readProcessMark(pid: number): string | null {
  if (!Number.isInteger(pid) || pid <= 0) return null
  if (hasProc) return readMarkFromProc(pid)
  try {
    process.kill(pid, 0)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ESRCH') return null
  }
  return readStartTime(pid)
}

/** The part of a mark that identifies the boot and the process namespace; marks compare only if it is equal. */
export function getMarkScope(mark: string): string {
  return mark.slice(0, mark.lastIndexOf(' '))
}

function readMarkFromProc(pid: number): string | null {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ')
    if (fields[0] === 'Z' || fields[0] === 'X') return null
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim()
    return `${boot} ${readlinkSync('/proc/self/ns/pid')} ${fields[19]}`
  } catch {
    return null
  }
}

function readStartTime(pid: number): string | null {
  const [program, args] =
    process.platform === 'win32'
      ? ['powershell', ['-NoProfile', '-Command', `(Get-Process -Id ${pid}).StartTime.Ticks`]]
      : ['ps', ['-o', 'lstart=', '-p', String(pid)]]
  try {
    const text = execFileSync(program as string, args as string[], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim()
    return text ? `here ${text.replaceAll(' ', '_')}` : null
  } catch {
    return null
  }
}

/**
 * The name that every process of a cluster carries in its command line (`cluster_name`): the folder's inode, which
 * moves with it and which no copy shares. The command line is readable even where a process's working folder is not, as
 * in a container without the right to trace.
 */
export function getClusterTag(clusterDir: string): string {
  const { dev, ino } = statSync(clusterDir, { bigint: true })
  return `holdfast-${dev.toString(36)}-${ino.toString(36)}`
}

/**
 * The live processes of a cluster: its postmaster, and any child that outlived it. A foreign process that reuses the id
 * in `postmaster.pid` is not among them.
 */
export function findClusterProcesses(clusterDir: string): { postmaster: number | null; all: number[] } {
  const tag = getClusterTag(clusterDir)
  const isOurs = new RegExp(`^(\\S*postgres(\\.exe)?\\s.*=${tag}\\s|postgres: ${tag}: )`)
  const all = listCommandLines()
    .filter(({ pid, command }) => isOurs.test(`${command} `) && readProcessMark(pid) !== null)
    .map(({ pid }) => pid)
  const named = readPostmasterId(clusterDir)
  return { postmaster: named !== null && all.includes(named) ? named : null, all }
}

/** Whether a process of a cluster replays the write-ahead log. */
export function isRecovering(clusterDir: string): boolean {
  const title = `postgres: ${getClusterTag(clusterDir)}: startup`
  return listCommandLines().some(({ command }) => command.startsWith(title))
}

function readPostmasterId(clusterDir: string): number | null {
  try {
    return Number.parseInt(readFileSync(`${clusterDir}/postmaster.pid`, 'utf8'), 10)
  } catch {
    return null
  }
}

function listCommandLines(): { pid: number; command: string }[] {
  if (hasProc) {
    const ids = readdirSync('/proc').map(Number)
    return ids.filter((pid) => pid > 0).map((pid) => ({ pid, command: readCommandLine(pid) }))
  }
  if (process.platform === 'win32') return []
  const lines = execFileSync('ps', ['-axwwo', 'pid=,command='], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  }).split('\n')
  return lines.map((line) => {
    const [, pid, command] = /^\s*(\d+)\s+(.*)$/.exec(line) ?? []
    return { pid: Number(pid ?? 0), command: command ?? '' }
  })
}

function readCommandLine(pid: number): string {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8').replaceAll('\0', ' ')
  } catch {
    return ''
  }
}
