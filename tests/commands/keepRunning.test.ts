import { spawn } from 'node:child_process'
import { expect, test } from 'vitest'
import { growPause, keepRunning, RECOVERED_MS } from '@/lib/commands/keepRunning'

test('the pause doubles up to a minute, and begins anew after the part ran well', () => {
  const pauses: number[] = []
  let pause: number | null = null
  for (let death = 0; death < 9; death++) {
    pause = growPause(pause, 500)
    pauses.push(pause)
  }
  expect(pauses.map((ms) => ms / 1000)).toEqual([1, 2, 4, 8, 16, 32, 60, 60, 60])
  expect(growPause(60_000, RECOVERED_MS)).toBe(1_000)
})

/** A part that is a process, which ends by itself after `ms`. */
function startProcess(ms: number) {
  const child = spawn(process.execPath, ['-e', `setTimeout(() => {}, ${ms})`], { stdio: 'ignore' })
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  let isStopping = false
  return {
    child,
    onDeath: (listener: (why: string) => void) => void ended.then(() => isStopping || listener('It ended.')),
    async stop() {
      isStopping = true
      child.kill()
      await ended
    },
  }
}

test('starts what dies again, says why, and no more once it is stopped', async () => {
  const reports: [string, number][] = []
  const started: ReturnType<typeof startProcess>[] = []
  let refusals = 2
  const isUp = new Promise<void>((resolve) => {
    const options = {
      start: async () => {
        if (started.length === 1 && refusals-- > 0) throw new Error('Not yet.')
        const part = startProcess(started.length < 2 ? 0 : 600_000)
        started.push(part)
        return part
      },
      onDeath: (why: string, pauseMs: number) => reports.push([why, pauseMs]),
      onRestart: () => started.length === 3 && resolve(),
      firstPauseMs: 1,
    }
    keepRunning(options).then((stop) => isUp.then(stop))
  })
  await isUp
  expect(reports).toEqual([
    ['It ended.', 1],
    ['Not yet.', 2],
    ['Not yet.', 4],
    ['It ended.', 8],
  ])
  const last = started[2]?.child
  await expect.poll(() => last?.signalCode).toBe('SIGTERM')
  expect(started).toHaveLength(3)
})

test('stops during a pause without another start, and throws what the first start throws', async () => {
  let starts = 0
  const reports: number[] = []
  const start = async () => {
    starts++
    throw new Error('Never.')
  }
  const nothing = () => {}
  const onDeath = (_: string, pauseMs: number) => reports.push(pauseMs)
  await expect(keepRunning({ start, onDeath, onRestart: nothing })).rejects.toThrow('Never.')
  const stop = await keepRunning({ start, onDeath, onRestart: nothing, mayFailFirst: true })
  await stop()
  expect([starts, reports]).toEqual([2, [1_000]])
})
