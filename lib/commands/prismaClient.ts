import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { childEnvironment } from '@/lib/store/environment'

const folder = 'lib/store/prisma'
const stamp = join(folder, '.made-from')
const locate = createRequire(import.meta.url)

/**
 * Generates Prisma's client into `lib/store/prisma` if it is missing or was made from another schema or by another Prisma.
 * @returns whether it was generated now.
 * @throws Error with what Prisma said.
 */
export async function ensurePrismaClient(): Promise<boolean> {
  const wanted = fingerprint()
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return false
  await generatePrismaClient()
  return true
}

/**
 * Generates the client, without a network: Prisma's command line would fetch its schema engine, which generating does not use, so
 * it is told that node is that engine. (Were it ever started as one, it would fail loudly.)
 */
export async function generatePrismaClient(): Promise<void> {
  const wanted = fingerprint()
  const entry = join(dirname(locate.resolve('prisma/package.json')), 'build', 'index.js')
  const env = childEnvironment({
    PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
    CHECKPOINT_DISABLE: '1',
    PRISMA_HIDE_UPDATE_MESSAGE: '1',
  })
  const child = spawn(process.execPath, [entry, 'generate', '--no-hints'], {
    env,
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let said = ''
  child.stdout.on('data', (text: Buffer) => {
    said += text
  })
  child.stderr.on('data', (text: Buffer) => {
    said += text
  })
  const code = await new Promise((resolve, reject) => {
    child.once('error', reject)
    child.once('close', resolve)
  })
  if (code !== 0) throw new Error(`Prisma could not generate its client. It said:\n${said.trim()}`)
  writeFileSync(stamp, wanted)
}

function fingerprint(): string {
  const { version } = JSON.parse(readFileSync(locate.resolve('prisma/package.json'), 'utf8')) as {
    version: string
  }
  return createHash('sha256').update(version).update(readFileSync('prisma/schema.prisma')).digest('hex')
}
