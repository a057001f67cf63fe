import { rebuild } from '@/lib/store/projection/rebuild'
import { openAppPool } from '@/lib/store/scope/pool'

/** A rebuild as a process of its own, which writes a line after each batch and kills itself after the n-th. */
const [url = '', now = '', killAfter = ''] = process.argv.slice(2)
let left = Number(killAfter)
const pool = openAppPool(url)
await rebuild(pool, Number(now), {
  onProgress: () => {
    left -= 1
    if (left === 0) process.kill(process.pid, 'SIGKILL')
  },
})
await pool.end()
