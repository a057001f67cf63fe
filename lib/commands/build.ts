import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { takeLockWhenFree } from '@/lib/store/engine/lock'
import { buildChildEnvironment } from '@/lib/store/environment'
import { ensurePrismaClient } from './prismaClient'

const endWithParent = new URL('endWithParent.mjs', import.meta.url).href
const stamp = '.next/made-from'
const sources = [
  'app',
  'lib',
  'public',
  'prisma/schema.prisma',
  'package.json',
  'package-lock.json',
  'next.config.ts',
  'instrumentation.ts',
  'tsconfig.json',
]
const generated = ['lib/store/prisma']

/**
 * Builds the pages unless `.next` holds a build of exactly these sources. Concurrent calls build once: the second waits
 * for the first. Needs no database.
 * @param log receives a sentence before a build, since it takes a while
 * @returns whether it was built now, and the duration.
 * @throws Error with the end of Next's output.
 */
export async function ensureBuild(
  log: (sentence: string) => void = () => {},
): Promise<{ isNew: boolean; tookMs: number }> {
  const startedAt = Date.now()
  await ensurePrismaClient()
  // Without the lock, which a server that may not write to its own code cannot take.
  if (isCurrent(computeFingerprint())) return { isNew: false, tookMs: Date.now() - startedAt }
  const lock = await takeLockWhenFree('node_modules/.cache/holdfast-build')
  try {
    const wanted = computeFingerprint()
    if (isCurrent(wanted)) return { isNew: false, tookMs: Date.now() - startedAt }
    log('Building; this takes up to a minute.')
    // An interrupted build must not pass for the one it was to replace.
    rmSync(stamp, { force: true })
    await build()
    writeFileSync(stamp, wanted)
    return { isNew: true, tookMs: Date.now() - startedAt }
  } finally {
    lock.release()
  }
}

function isCurrent(wanted: string): boolean {
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted
}

async function build() {
  const entry = createRequire(import.meta.url).resolve('next/dist/bin/next')
  // No database: a page that read one during the build would show that moment for good.
  const env = buildChildEnvironment({
    NEXT_TELEMETRY_DISABLED: '1',
    NODE_ENV: 'production',
    DATABASE_URL: '',
  })
  const child = spawn(process.execPath, ['--import', endWithParent, entry, 'build'], {
    env,
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  })
  const endWithUs = () => child.kill('SIGKILL')
  process.once('exit', endWithUs)
  let output = ''
  const keep = (text: Buffer) => {
    output = (output + text).slice(-8_000)
  }
  child.stdout?.on('data', keep)
  child.stderr?.on('data', keep)
  const code = await new Promise((resolve, reject) => {
    child.once('error', reject)
    child.once('close', resolve)
  })
  process.removeListener('exit', endWithUs)
  if (code !== 0) throw new Error(`The build of the pages failed. Output of Next:\n${output.trim()}`)
}

/** SHA-256 over the names and contents of all sources of a build, and the version of Node. */
function computeFingerprint(): string {
  const hash = createHash('sha256').update(process.version)
  for (const source of sources) addToHash(hash, source)
  return hash.digest('hex')
}

function addToHash(hash: ReturnType<typeof createHash>, path: string) {
  if (generated.includes(path) || !existsSync(path)) return
  if (statSync(path).isDirectory()) {
    for (const name of readdirSync(path).sort()) addToHash(hash, join(path, name))
    return
  }
  const content = readFileSync(path)
  hash.update(`${path}\0${content.length}\0`).update(content)
}
