import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
// A relative import: "@/" resolves against the folder a command is started in.
import { takeLockWhenFree } from '../store/engine/lock'

const folder = 'lib/store/prisma'
const stamp = join(folder, '.made-from')
const schema = 'prisma/schema.prisma'
const locate = createRequire(import.meta.url)

/**
 * Generates Prisma's client into `lib/store/prisma` if it is missing, or was generated from another schema or by
 * another version of Prisma. Concurrent calls generate once: the second waits for the first.
 * @returns whether it was generated now.
 * @throws Error with Prisma's output.
 */
export async function ensurePrismaClient(): Promise<boolean> {
  return (
    !isCurrent() &&
    withLock(async () => {
      if (isCurrent()) return false
      await generate()
      return true
    })
  )
}

/**
 * Generates the client without a network. Prisma's command line is not installed: it would add 160 MB for a studio and
 * a development server that nothing here uses.
 * @throws Error with Prisma's output.
 */
export function generatePrismaClient(): Promise<void> {
  return withLock(generate)
}

async function withLock<T>(work: () => Promise<T>): Promise<T> {
  const lock = await takeLockWhenFree('node_modules/.cache/holdfast-prisma')
  try {
    return await work()
  } finally {
    lock.release()
  }
}

function isCurrent(): boolean {
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === computeFingerprint()
}

async function generate(): Promise<void> {
  const wanted = computeFingerprint()
  // An interrupted run must not pass for the client it was to replace, and Prisma refuses a folder with half a client.
  rmSync(folder, { recursive: true, force: true })
  const program = fileURLToPath(new URL('prismaGenerator.mjs', import.meta.url))
  const child = spawn(process.execPath, [program, schema], { stdio: ['ignore', 'pipe', 'pipe'] })
  let output = ''
  child.stdout.on('data', (text: Buffer) => {
    output += text
  })
  child.stderr.on('data', (text: Buffer) => {
    output += text
  })
  const code = await new Promise((resolve, reject) => {
    child.once('error', reject)
    child.once('close', resolve)
  })
  if (code !== 0) throw new Error(`Prisma could not generate its client. Output:\n${output.trim()}`)
  writeFileSync(stamp, wanted)
}

function computeFingerprint(): string {
  const { version } = JSON.parse(
    readFileSync(join(dirname(locate.resolve('@prisma/client-generator-ts')), '../package.json'), 'utf8'),
  ) as { version: string }
  return createHash('sha256').update(version).update(readFileSync(schema)).digest('hex')
}
