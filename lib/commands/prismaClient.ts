import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const folder = 'lib/store/prisma'
const stamp = join(folder, '.made-from')
const schema = 'prisma/schema.prisma'
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
 * Generates the client, without a network. Prisma's command line is not installed for it: it would bring 160 MB more, for a studio
 * and a development server that nothing here uses.
 * @throws Error with what Prisma said.
 */
export async function generatePrismaClient(): Promise<void> {
  const wanted = fingerprint()
  const program = fileURLToPath(new URL('prismaGenerator.mjs', import.meta.url))
  const child = spawn(process.execPath, [program, schema], { stdio: ['ignore', 'pipe', 'pipe'] })
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
  const { version } = JSON.parse(
    readFileSync(join(dirname(locate.resolve('@prisma/client-generator-ts')), '../package.json'), 'utf8'),
  ) as { version: string }
  return createHash('sha256').update(version).update(readFileSync(schema)).digest('hex')
}
