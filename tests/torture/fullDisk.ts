import { spawnSync } from 'node:child_process'
import { closeSync, fsyncSync, mkdirSync, openSync, rmSync, statfsSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import type { Torment } from './torment'

const SIZE = '260m'
const LONGEST_MS = 3_000

export const fullDisk: Torment = {
  name: 'full disk',
  what: 'The file system of the data folder is full for a while, again and again, while clients post.',
  round: 'a disk filled up and freed',
  rounds: 8,
  shortRounds: 1,
  mostRoundSeconds: 60,
  async run({ rounds, seed, random, own, folder }) {
    const mounted = join(folder, 'small-disk')
    mkdirSync(mounted)
    const mount = spawnSync('mount', [
      '-t',
      'tmpfs',
      '-o',
      `size=${SIZE},mode=755`,
      'holdfast-torture',
      mounted,
    ])
    if (mount.status !== 0) {
      const why = mount.error?.message ?? mount.stderr.toString().trim()
      return { skipped: `A small file system cannot be mounted here (it takes root): ${why}.` }
    }
    const victim = await own({
      folder: mounted,
      atEnd: () => spawnSync('umount', ['--lazy', mounted]),
    })
    const clients = victim.startClients(seed)
    const ballast = join(mounted, 'ballast')
    try {
      for (let round = 0; round < rounds; round++) {
        await victim.keepServing(clients)
        fill(ballast, mounted, random() < 0.5 ? 0 : Math.floor(random() * 2_000_000))
        await wait(500 + random() * LONGEST_MS)
        rmSync(ballast)
        await victim.ensureServing()
      }
      await victim.keepServing(clients)
    } finally {
      rmSync(ballast, { force: true })
      await clients.stop()
    }
    return { did: `Filled a disk of ${SIZE} ${rounds} times.` }
  },
}

/** Writes until no more than `left` bytes are free. */
function fill(path: string, folder: string, left: number) {
  const file = openSync(path, 'w')
  const block = Buffer.alloc(1 << 18)
  try {
    for (;;) {
      const { bavail, bsize } = statfsSync(folder)
      const room = Math.min(bavail * bsize - left, block.length)
      if (room <= 0) break
      writeSync(file, block, 0, room)
    }
    fsyncSync(file)
  } catch {
    // The engine took the last bytes meanwhile.
  } finally {
    closeSync(file)
  }
}
