import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { DockerfileParser, JSONInstruction } from 'dockerfile-ast'
import { describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { z } from 'zod'

// No image can be downloaded where these tests run, so they read the files as Docker does, and run what they can.

const packageFile = z.object({
  scripts: z.object({ start: z.string() }),
  engines: z.object({ node: z.string() }),
})
const { scripts, engines } = packageFile.parse(JSON.parse(readFileSync('package.json', 'utf8')))
/** The part of `npm start` that runs where `exec` exists: the line for supervisors. */
const nodeLine = (scripts.start.split(' || ')[0] ?? '').replace(/^exec /, '')
/** Every name that the environment may have. */
const settings = [...readFileSync('.env.example', 'utf8').matchAll(/^# ([A-Z_]+)=/gm)].map(([, name]) => name)
const oldestNode = engines.node.replace(/\D*/, '')

test('npm start is one command for sh and for cmd', () => {
  expect(scripts.start).toBe(`exec ${nodeLine} || ${nodeLine}`)
})

describe('Dockerfile', () => {
  const file = DockerfileParser.parse(readFileSync('Dockerfile', 'utf8'))
  const instructions = file.getInstructions()
  const list = (keyword: string) => instructions.filter((one) => one.getKeyword() === keyword)
  const text = (keyword: string) => list(keyword).map((one) => one.getArgumentsContent() ?? '')
  const json = (keyword: string) => {
    const found = list(keyword).find((one) => one instanceof JSONInstruction)
    if (!(found instanceof JSONInstruction)) throw new Error(`${keyword} has no list of words.`)
    return found.getJSONStrings().map((one) => one.getJSONValue())
  }

  test('builds in one stage and runs in another, on a pinned slim image of a Node that the code supports', () => {
    const images = file.getFROMs().map((from) => from.getImage() ?? '')
    expect(images).toHaveLength(2)
    expect(new Set(images).size).toBe(1)
    expect(images[0]).toMatch(/^node:20(\.\d+)*-\w+-slim$/)
    expect(oldestNode).toMatch(/^20\./)
    expect(file.getFROMs().map((from) => from.getBuildStage())).toEqual(['build', null])
  })

  test('copies what exists and is not left out, installs by the lock file without scripts, builds, and drops its rights', () => {
    const sources = list('COPY')
      .filter((one) => !one.getTextContent().includes('--from=build'))
      .map((one) => one.getArguments().map((word) => word.getValue()))
      .flatMap((words) => words.slice(0, -1))
    expect(sources.length).toBeGreaterThan(5)
    expect(sources.filter((path) => !existsSync(path))).toEqual([])
    const ignored = readFileSync('.dockerignore', 'utf8').split('\n')
    expect(ignored.find((line) => !line.startsWith('#'))).toBe('*')
    expect(ignored.filter((line) => line.startsWith('!')).sort()).toEqual(
      sources.map((path) => `!${path}`).sort(),
    )
    const runs = text('RUN')
    expect(runs[0]).toMatch(/^npm ci .*--ignore-scripts/)
    expect(runs[1]).toMatch(/^npm run build\b/)
    expect(text('USER')).toEqual(['node'])
    const keywords = instructions.map((one) => one.getKeyword())
    const afterUser = keywords.slice(keywords.indexOf('USER'))
    expect(afterUser.filter((keyword) => ['RUN', 'COPY', 'ADD'].includes(keyword))).toEqual([])
  })

  test('runs the documented line, and asks it for its health', () => {
    expect(json('CMD').join(' ')).toBe(nodeLine)
    const [health = ''] = text('HEALTHCHECK')
    expect(health).toContain('/api/health')
    const words = z.array(z.string()).parse(JSON.parse(/CMD (\[.*\])$/s.exec(health)?.[1] ?? ''))
    expect(spawnSync('node', ['--check', '-'], { input: words[2] }).status).toBe(0)
    expect(words.slice(0, 2)).toEqual(['node', '-e'])
  })

  test('holds no secret, and names only settings that exist', () => {
    const names = list('ENV').flatMap((one) =>
      [...(one.getArgumentsContent() ?? '').matchAll(/([A-Z_]+)=/g)].map(([, name]) => name),
    )
    expect(names.filter((name) => name !== 'NODE_ENV' && !settings.includes(name))).toEqual([])
    expect(list('ARG')).toEqual([])
  })
})

describe('compose.yaml', () => {
  const service = z.object({
    image: z.string().optional(),
    build: z.string().optional(),
    restart: z.string(),
    environment: z.record(z.string(), z.union([z.string(), z.number()])),
    ports: z.array(z.string()).optional(),
    volumes: z.array(z.string()),
    networks: z.union([z.array(z.string()), z.record(z.string(), z.object({ ipv4_address: z.string() }))]),
    healthcheck: z.object({ test: z.array(z.string()) }),
    read_only: z.boolean().optional(),
    stop_grace_period: z.string().optional(),
  })
  const composeFile = z.object({
    services: z.object({ server: service, database: service, proxy: service }).strict(),
    networks: z.object({
      inside: z.object({ internal: z.literal(true) }),
      outside: z.object({ ipam: z.object({ config: z.array(z.object({ subnet: z.string() })) }) }),
    }),
    volumes: z.record(z.string(), z.null()),
  })
  const { services, networks, volumes } = composeFile.parse(parse(readFileSync('compose.yaml', 'utf8')))

  test('names every image by its version, and only the proxy can be reached from outside', () => {
    const images = Object.values(services).flatMap(({ image }) => image ?? [])
    expect(images.filter((image) => !/:\d/.test(image))).toEqual([])
    expect(services.server.build).toBe('.')
    expect([services.server.ports, services.database.ports]).toEqual([undefined, undefined])
    expect(services.proxy.ports).toEqual(['80:80', '443:443'])
    expect([services.database.networks, services.server.networks]).toEqual([
      ['inside'],
      ['inside', 'outside'],
    ])
  })

  test('holds no secret: those come from .env, and a missing one stops the start', () => {
    const secrets = Object.values(services)
      .flatMap((one) => Object.entries(one.environment))
      .filter(([name]) => /PASSWORD|SECRET|KEY/.test(name))
    expect(secrets.filter(([, value]) => !String(value).startsWith('${'))).toEqual([])
    expect(services.server.environment.DATABASE_URL).toMatch(/:\/\/holdfast:\$\{DATABASE_PASSWORD:\?[^}]+\}@/)
    expect(services.database.environment.POSTGRES_PASSWORD).toMatch(/^\$\{DATABASE_PASSWORD:\?/)
  })

  test('sets only what Holdfast reads, and every service is asked for its health and comes back', () => {
    expect(Object.keys(services.server.environment).filter((name) => !settings.includes(name))).toEqual([])
    expect(Object.values(services).map(({ restart }) => restart)).toEqual(Array(3).fill('unless-stopped'))
    expect(services.server.healthcheck.test.at(-1)).toContain('/api/health')
    expect(services.database.healthcheck.test[1]).toBe('pg_isready')
    expect(services.server.read_only).toBe(true)
  })

  test('trusts the address that it gives the proxy, and declares what it uses', () => {
    const { outside } = z
      .object({ outside: z.object({ ipv4_address: z.string() }) })
      .parse(services.proxy.networks)
    expect(services.server.environment.HOLDFAST_PROXY).toBe(outside.ipv4_address)
    expect(networks.outside.ipam.config[0]?.subnet).toBe(outside.ipv4_address.replace(/\.\d+$/, '.0/24'))
    const used = Object.values(services).flatMap((one) =>
      one.volumes.map((volume) => volume.split(':')[0] ?? ''),
    )
    expect(used.filter((name) => !name.startsWith('.')).sort()).toEqual(Object.keys(volumes).sort())
    expect(used.filter((name) => name.startsWith('.') && !existsSync(name))).toEqual([])
    const [, dataDir] = services.server.volumes[0]?.split(':') ?? []
    expect(readFileSync('Dockerfile', 'utf8')).toContain(`HOLDFAST_DATA_DIR=${dataDir}`)
  })
})

describe('the systemd unit', () => {
  const path = 'public/help/holdfast.service'
  const unit = readFileSync(path, 'utf8')
  const get = (name: string) => new RegExp(`^${name}=(.*)$`, 'm').exec(unit)?.[1]

  test('runs the documented line as a user of its own that may write to the data folder only', () => {
    expect(get('ExecStart')).toBe(`/usr/bin/${nodeLine}`)
    expect(get('User')).toBe('holdfast')
    expect(get('NoNewPrivileges')).toBe('yes')
    expect(get('ProtectSystem')).toBe('strict')
    expect(get('Environment')).toBe(`HOLDFAST_DATA_DIR=${get('ReadWritePaths')}`)
    expect(get('Restart')).toBe('on-failure')
    expect(Number(get('TimeoutStopSec'))).toBeGreaterThan(10)
  })

  const analyze = (...args: string[]) => spawnSync('systemd-analyze', args, { encoding: 'utf8' })
  const isHere = analyze('--version').status === 0 && existsSync('/usr/bin/node')

  test.skipIf(!isHere)('is taken by systemd without a word, and counts as well locked in', () => {
    const verified = analyze('verify', path)
    expect([verified.status, verified.stderr]).toEqual([0, ''])
    const { stdout } = analyze('security', '--offline=yes', path)
    expect(Number(/exposure level for \S+: ([\d.]+)/.exec(stdout)?.[1])).toBeLessThan(2)
  })
})
