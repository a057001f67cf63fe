import { type AddressInfo, connect, createServer, type Socket } from 'node:net'
import { Transform } from 'node:stream'

/** A TCP proxy that cuts connections in the middle of what they carry, either way. */
export interface CuttingProxy {
  port: number
  /** How many connections it has cut so far. */
  cuts(): number
  /** Cuts what is open, and listens no more. */
  close(): Promise<void>
}

export interface CuttingOptions {
  /** Where a new connection leads, asked each time. */
  target: () => { host: string; port: number }
  random: () => number
  /** A connection carries up to so many bytes in the one direction that is counted. None is spared: pools would keep it. */
  mostBytes: number
}

/** Opens a proxy on a free port of 127.0.0.1. What stands before the cut is delivered: an answer may come half. */
export async function openCuttingProxy({ target, random, mostBytes }: CuttingOptions): Promise<CuttingProxy> {
  const open = new Set<Socket>()
  let cuts = 0
  const server = createServer((near) => {
    const far = connect(target())
    for (const one of [near, far]) {
      open.add(one)
      one.on('error', () => {})
      one.on('close', () => {
        open.delete(one)
        near.destroy()
        far.destroy()
      })
    }
    const cut = () => {
      cuts += 1
      // What is written already goes out first.
      near.destroySoon()
      far.destroySoon()
    }
    const limit = limitBytes(Math.floor(random() * mostBytes), cut)
    const isAnswerCut = random() < 0.5
    if (isAnswerCut) far.pipe(limit).pipe(near)
    else far.pipe(near)
    if (isAnswerCut) near.pipe(far)
    else near.pipe(limit).pipe(far)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as AddressInfo).port,
    cuts: () => cuts,
    async close() {
      for (const one of open) one.destroy()
      await new Promise((resolve) => server.close(resolve))
    },
  }
}

function limitBytes(bytes: number, atLimit: () => void): Transform {
  let left = bytes
  return new Transform({
    transform(chunk: Buffer, _, done) {
      const part = chunk.subarray(0, left)
      left -= part.length
      if (part.length > 0) this.push(part)
      done()
      if (left === 0 && bytes >= 0) {
        bytes = -1
        atLimit()
      }
    },
  })
}
