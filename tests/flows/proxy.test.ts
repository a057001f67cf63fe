import { spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { request } from 'node:https'
import { networkInterfaces, tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { findRunningEngineUrl } from '@/lib/store/engine/engine'
import { findFreePort } from '@/lib/store/engine/freePort'
import { buildChildEnvironment } from '@/lib/store/environment'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { endRunningCommands, launchCommand } from '../setup/launcher'

const isCaddyHere = spawnSync('caddy', ['version']).status === 0
/** An address of this machine that is not its loopback, for a proxy that counts as another machine. */
const ownAddress = Object.values(networkInterfaces())
  .flat()
  .find((one) => one?.family === 'IPv4' && !one.internal)?.address

interface Answer {
  status: number
  headers: Record<string, string | string[] | undefined>
}

/** The site behind the proxy file that we give to operators, run by a real Caddy with a certificate authority of its own. */
async function openSite(host: string | null) {
  const folder = mkdtempSync(join(tmpdir(), 'holdfast-proxy-'))
  const dataDir = join(folder, 'data')
  const [port, tlsPort, plainPort] = await Promise.all([findFreePort(), findFreePort(), findFreePort()])
  const url = `https://localhost:${tlsPort}`
  const variables = {
    HOLDFAST_DATA_DIR: dataDir,
    PORT: String(port),
    HOLDFAST_URL: url,
    ...(host ? { HOLDFAST_HOST: '0.0.0.0', HOLDFAST_PROXY: host } : {}),
  }
  mkdirSync(dataDir)
  writeFileSync(join(dataDir, 'demo-removed'), 'for this test\n')
  const file = join(folder, 'Caddyfile')
  const options = `{\n\tadmin off\n\tskip_install_trust\n\thttp_port ${plainPort}\n}\n`
  writeFileSync(file, `${options}import ${resolve('public/help/Caddyfile')}\n`)
  const env = buildChildEnvironment({
    HOLDFAST_URL: url,
    HOLDFAST_UPSTREAM: `${host ?? '127.0.0.1'}:${port}`,
    XDG_DATA_HOME: folder,
    XDG_CONFIG_HOME: folder,
  })
  const caddy = spawn('caddy', ['run', '--adapter', 'caddyfile', '--config', file], { env, stdio: 'ignore' })
  const run = launchCommand('start', [], variables)
  await run.waitFor(/Serving your programme on (https:\S+)/)
  const root = join(folder, 'caddy/pki/authorities/local/root.crt')
  await expect.poll(() => existsSync(root), { timeout: 30_000 }).toBe(true)

  const send = (path: string, headers: Record<string, string> = {}, body?: string) =>
    new Promise<Answer>((settle, reject) => {
      const method = body === undefined ? 'GET' : 'POST'
      const sent = request(`${url}${path}`, { method, ca: readFileSync(root), headers }, (answer) => {
        answer.resume()
        answer.once('end', () => settle({ status: answer.statusCode ?? 0, headers: answer.headers }))
      })
      sent.once('error', reject)
      sent.end(body)
    })
  await expect
    .poll(() => send('/api/health').then(({ status }) => status, String), { timeout: 30_000 })
    .toBe(200)

  /** Signs in by the link that npm run admin prints. @returns the cookie. */
  async function signIn(headers: Record<string, string>): Promise<{ answer: Answer; cookie: string }> {
    const admin = launchCommand('admin', ['desk@example.org'], variables)
    expect(await admin.ended, admin.output()).toBe(0)
    const link = new URL(admin.standardOutput())
    expect(link.origin).toBe(url)
    const form = new URLSearchParams({ token: link.searchParams.get('token') ?? '' }).toString()
    const type = 'application/x-www-form-urlencoded'
    const answer = await send('/api/sign-in/link', { origin: url, 'content-type': type, ...headers }, form)
    const cookies = answer.headers['set-cookie'] ?? []
    return {
      answer,
      cookie: [cookies]
        .flat()
        .map((text) => text.split(';')[0])
        .join('; '),
    }
  }
  async function readAddresses(): Promise<unknown[]> {
    const pool = openOwnerPool((await findRunningEngineUrl(dataDir, 'holdfast')) ?? '', { max: 1 })
    const { rows } = await pool.query<{ at: string }>(
      'select ip_address as at from session order by created_at',
    )
    await pool.end()
    return rows.map(({ at }) => at)
  }
  const close = async () => {
    await endRunningCommands()
    const gone = new Promise((resolve) => caddy.once('exit', resolve))
    caddy.kill('SIGTERM')
    await gone
    rmSync(folder, { recursive: true, force: true })
  }
  return { url, port, send, signIn, readAddresses, close }
}

const spoofed = { 'x-forwarded-for': '203.0.113.9' }

describe.skipIf(!isCaddyHere)('behind the proxy of public/help/Caddyfile', () => {
  beforeAll(async () => {
    await ensureBuild()
  })
  let site: Awaited<ReturnType<typeof openSite>> | undefined
  afterAll(async () => site?.close())

  test('on the same machine: signs in over TLS, and keeps the address that the proxy saw', async () => {
    site = await openSite(null)
    const { answer, cookie } = await site.signIn(spoofed)
    expect([answer.status, new URL(String(answer.headers.location), site.url).origin]).toEqual([
      303,
      site.url,
    ])
    expect(String(answer.headers['set-cookie'])).toMatch(/; *Secure/i)
    const board = await site.send('/api/board', { cookie, 'sec-fetch-site': 'same-origin' })
    expect(board.status).toBe(200)
    expect(board.headers['strict-transport-security']).toBeTruthy()
    expect(await site.readAddresses()).toEqual(['127.0.0.1'])
    await site.close()
    site = undefined
  })

  test.skipIf(!ownAddress)('on another address: that one is believed, and nobody else', async () => {
    site = await openSite(ownAddress ?? '')
    const { answer } = await site.signIn(spoofed)
    expect(answer.status).toBe(303)
    const plain = `http://localhost:${site.port}/api/health`
    expect((await fetch(plain, { headers: spoofed })).status).toBe(200)
    expect(await site.readAddresses()).toEqual(['127.0.0.1'])
  })
})
