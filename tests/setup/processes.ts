import { readdirSync, readFileSync } from 'node:fs'
import { readProcessMark } from '@/lib/store/engine/processes'

/** The environment variable by which the torture knows a process, and what that starts, as its own. */
export const MARK = 'HOLDFAST_TORTURE'

export interface FoundProcess {
  pid: number
  parent: number
  command: string
}

/** The processes that carry a mark, found by /proc; a zombie counts as gone. */
export function findMarked(mark: string): FoundProcess[] {
  return listProcesses().filter(({ pid }) => hasMark(pid, mark))
}

/** The web servers that a launcher has started. */
export function findWebServers(launcher: number): FoundProcess[] {
  return listProcesses().filter(({ parent, command }) => parent === launcher && command.includes('serve.mjs'))
}

/** Whether a process is another one, its child, or a child of its children. */
export function descendsFrom(pid: number, ancestor: number): boolean {
  for (let at = pid; at > 1; at = readParent(at)) if (at === ancestor) return true
  return false
}

function listProcesses(): FoundProcess[] {
  return readdirSync('/proc')
    .map(Number)
    .filter((pid) => pid > 0 && readProcessMark(pid) !== null)
    .flatMap((pid) => {
      const parent = readParent(pid)
      const command = read(pid, 'cmdline').replaceAll('\0', ' ')
      return parent === 0 ? [] : [{ pid, parent, command }]
    })
}

/** 0 if there is no such process. The name in the second field of the file may hold blanks and brackets. */
function readParent(pid: number): number {
  const stat = read(pid, 'stat')
  return Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1] ?? 0)
}

function hasMark(pid: number, mark: string): boolean {
  return read(pid, 'environ').split('\0').includes(`${MARK}=${mark}`)
}

function read(pid: number, file: string): string {
  try {
    return readFileSync(`/proc/${pid}/${file}`, 'utf8')
  } catch {
    return ''
  }
}

/** Ends a process at once. @returns whether there was one. */
export function killAtOnce(pid: number): boolean {
  try {
    process.kill(pid, 'SIGKILL')
    return true
  } catch {
    return false
  }
}
