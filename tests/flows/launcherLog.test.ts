import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { findFreePort } from '@/lib/store/engine/freePort'
import { makeEmptyTestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { endRunningCommands, launchCommand } from '@/tests/setup/launcher'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-launcher-log-'))
atEndOfFile(() => rmSync(folder, { recursive: true, force: true }))
atEndOfFile(endRunningCommands)

/** The lines of a text; each must be JSON. */
const parse = (text: string) =>
  text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Record<string, unknown>)

test.each([
  ['', 'lines of JSON'],
  ['text', 'text'],
])(
  'with HOLDFAST_LOG=%s a server whose output is no terminal prints %s, and keeps its files as JSON',
  async (format) => {
    await ensureBuild()
    const database = await makeEmptyTestDatabase()
    const dataDir = join(folder, format || 'json')
    const command = launchCommand('start', [], {
      HOLDFAST_LOG: format,
      HOLDFAST_DATA_DIR: dataDir,
      DATABASE_URL: database.url,
      PORT: String(await findFreePort()),
    })
    const [, address = ''] = await command.waitFor(/Serving your programme on (http:\/\/localhost:\d+)/)
    const answer = await fetch(`${address}/api/board`)
    const id = answer.headers.get('x-request-id')
    if (format === '') await command.waitFor(new RegExp(`"request":"${id}"`))
    command.child.kill('SIGTERM')
    expect(await command.ended).toBe(0)
    const files = readdirSync(join(dataDir, 'logs'))
    expect(files.sort()).toEqual(['launcher.1.log', 'web.1.log'])
    for (const name of files) expect(statSync(join(dataDir, 'logs', name)).mode & 0o777).toBe(0o600)
    const read = (name: string) => parse(readFileSync(join(dataDir, 'logs', name), 'utf8'))
    expect(read('launcher.1.log').map(({ step }) => step)).toEqual(
      expect.arrayContaining(['Database', 'Migrations', 'Web server', 'Holdfast']),
    )
    expect(read('web.1.log')).toEqual(
      expect.arrayContaining([expect.objectContaining({ request: id, route: '/api/board', status: 401 })]),
    )
    const printed = command.output()
    if (format === 'text') {
      expect(printed).toMatch(/^✓ Environment +Valid\.$/m)
      return
    }
    const lines = parse(printed)
    expect(lines.filter(({ time, level }) => !time || !level)).toEqual([])
    expect(lines.map(({ process }) => process)).toEqual(expect.arrayContaining(['launcher', 'web']))
    expect(printed).not.toContain(new URL(database.url).password)
  },
)
