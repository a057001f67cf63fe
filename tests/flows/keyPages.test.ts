import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { listKeys } from '@/lib/store/people/keys'
import { KIT } from '@/tests/cases/smallProgramme'
import { readMain, browserTest as test, visitAs } from '@/tests/setup/browser'
import { drawUsual } from '@/tests/setup/drawUsual'
import { launchCommand } from '@/tests/setup/launcher'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'
import { createReport, type KeyProgramme, startKeyProgramme } from './keyProgramme'

let programme: KeyProgramme
beforeAll(async () => {
  programme = await startKeyProgramme()
  visitAs(await signInAs(programme.database, ADMINISTRATOR), programme.server.address)
})

const open = (page: Page, path: string) => page.goto(`${programme.server.address}${path}`)

async function makeScanner(page: Page): Promise<string> {
  await open(page, '/keys')
  await page.getByRole('link', { name: 'Create a key' }).click()
  await page.getByLabel('Name').fill('scanner at the dock')
  await page.getByLabel('Sources').fill('dock scanner\nsecond scanner')
  await page.getByLabel('A plant:').check()
  await page.getByLabel('A plant (PL1)').check()
  await page.getByLabel('Only these kinds').check()
  await page.getByLabel('dispatched').check()
  await page.getByRole('button', { name: 'Create the key' }).click()
  return (await page.locator('section pre').textContent()) ?? ''
}

describe('the page of API keys', () => {
  test.for([true, false])(
    'makes a key, shows its secret once, and revokes it; scripts: %s',
    async (javaScriptEnabled, { openPage }) => {
      const page = await openPage({ javaScriptEnabled })
      const secret = await makeScanner(page)
      expect(secret).toMatch(/^hfk_[\w-]{43}$/)
      const sent = await programme.rows(
        secret,
        createReport('dock scanner', { kind: 'dispatched' }),
        createReport('dock scanner'),
        createReport('third scanner', { kind: 'dispatched' }),
      )
      expect(sent.map(({ result }) => result)).toEqual(['accepted', 'refused', 'refused'])
      await page.reload()
      expect(await readMain(page)).not.toContain(secret)
      expect(await readMain(page)).toContain('shown once')
      const row = page.locator('tr', { hasText: 'dock scanner and second scanner' }).first()
      expect(await row.textContent()).toMatch(/plant PL1dispatched/)
      await row.locator('summary').click()
      await row.getByRole('button', { name: 'Revoke' }).click()
      await page.getByText('The key is revoked.').waitFor()
      expect((await programme.post(secret, createReport('dock scanner'))).status).toBe(401)
    },
  )

  test('explains each fault beside its field, keeps the input, and makes nothing', async ({ page }) => {
    const before = (await listKeys(programme.database.authPool)).length
    await open(page, '/keys/new')
    await page.getByLabel('Sources').fill('hand 7')
    await page.getByLabel('dispatched').check()
    await page.getByLabel('Last day').fill('2020-01-31')
    await page.getByRole('button', { name: 'Create the key' }).click()
    await page.locator('main').getByRole('alert').waitFor()
    const faults = await readMain(page)
    for (const sentence of [
      'Enter a name for the key',
      'Choose for whom the key speaks',
      'Some kinds are ticked',
      'Enter today or a later day',
    ])
      expect(faults).toContain(sentence)
    expect(await page.getByLabel('Sources').inputValue()).toBe('hand 7')
    expect(await page.getByLabel('dispatched').isChecked()).toBe(true)
    await page.getByLabel('Name').fill('a machine')
    await page.getByRole('button', { name: 'Create the key' }).click()
    await page.getByText('begins with “hand”').waitFor()
    expect((await listKeys(programme.database.authPool)).length).toBe(before)
  })

  test('asks for whom a key speaks, refuses places of others, and tells it in words in the list', async ({
    page,
  }) => {
    await open(page, '/keys/new')
    await page.getByLabel('Name').fill('bench of the laboratory')
    await page.getByLabel('Sources').fill('the bench')
    await page.getByLabel('A laboratory:').check()
    await page.getByLabel('A plant (PL1)').check()
    await page.getByRole('button', { name: 'Create the key' }).click()
    await page.getByText('Only a plant’s key has plants').waitFor()
    await page.getByLabel('A plant (PL1)').uncheck()
    await page.getByRole('button', { name: 'Create the key' }).click()
    await page.getByText('Tick at least one laboratory').waitFor()
    await page.getByLabel('A laboratory (LAB)').check()
    await page.getByRole('button', { name: 'Create the key' }).click()
    const row = page.locator('tr', { hasText: 'bench of the laboratory' })
    expect(await row.textContent()).toMatch(/laboratory LABwhat a laboratory reports/)

    await open(page, '/keys/new')
    await page.getByLabel('Name').fill('office script')
    await page.getByLabel('Sources').fill('the office')
    await page.getByLabel('The programme:').check()
    await page.getByLabel('Only these kinds').check()
    for (const kind of ['received', 'extended']) await page.getByLabel(kind, { exact: true }).check()
    await page.getByRole('button', { name: 'Create the key' }).click()
    const office = page.locator('tr', { hasText: 'office script' })
    expect(await office.textContent()).toMatch(/the programmereceivedDecisions: extended/)
  })

  test('refuses a source of another owner, and says whose it is', async ({ page }) => {
    await open(page, '/keys/new')
    await page.getByLabel('Name').fill('press line')
    await page.getByLabel('Sources').fill('their dock')
    await page.getByLabel('A plant:').check()
    await page.getByLabel('A plant (PL1)').check()
    await page.getByRole('button', { name: 'Create the key' }).click()
    await page.getByText('speaks under “their dock” for plant PL2').waitFor()
    expect((await listKeys(programme.database.authPool)).map(({ name }) => name)).not.toContain('press line')
  })

  test('is for administrators only, as are making and revoking', async ({ openPage }) => {
    const contact = await signInAs(programme.database, { plants: ['PL1'] })
    const page = await openPage({
      expectedErrors: [/404/],
      as: { who: contact, address: programme.server.address },
    })
    for (const path of ['/keys', '/keys/new']) expect((await open(page, path))?.status()).toBe(404)
    const [{ id } = { id: '' }] = await listKeys(programme.database.authPool)
    for (const path of ['/api/keys', `/api/keys/${id}/revoke`])
      expect((await programme.ask('POST', path, {}, contact.headers)).status).toBe(403)
  })

  test('treats another person’s ticket as a used one', async ({ openPage, page }) => {
    await open(page, '/keys/new')
    const other = await signInAs(programme.database, ADMINISTRATOR)
    const made = await fetch(`${programme.server.address}/api/keys`, {
      method: 'POST',
      redirect: 'manual',
      headers: { ...other.headers, 'content-type': 'application/x-www-form-urlencoded' },
      body: new URLSearchParams({ name: 'theirs', sources: 'x', side: 'programme', reports: 'all' }),
    })
    expect(made.status).toBe(303)
    const address = made.headers.get('location') as string
    await open(page, address)
    expect(await readMain(page)).not.toContain('hfk_')
    const theirs = await openPage({ as: { who: other, address: programme.server.address } })
    await open(theirs, address)
    expect(await readMain(theirs)).toContain('hfk_')
  })

  test('shows old keys that share a source, speak for two sides or were narrowed, and what to do', async ({
    page,
  }) => {
    await open(page, '/keys')
    expect(await readMain(page)).not.toContain('Keys to look at')
    await programme.database.owner.query(
      `insert into api_key (id, name, hash, sources, created_by, sides, plants, laboratories, narrowed_at) values
       ('old1', 'old press', 'old1', '{press}', 'command', '{plant}', '{PL1}', null, '2026-11-01T12:00:00Z'),
       ('old2', 'old oven', 'old2', '{press}', 'command', '{plant}', '{PL2}', null, null),
       ('old3', 'old script', 'old3', '{script}', 'command', '{plant,laboratory}', '{PL1}', '{LAB}', '2026-11-01T12:00:00Z')`,
    )
    await open(page, '/keys')
    const said = await page.getByRole('region', { name: 'Keys to look at' }).textContent()
    expect(said).toContain('share the source “press”: “old press” (plant PL1) and “old oven” (plant PL2).')
    expect(said).toContain('“old script” speaks for plant PL1 and laboratory LAB.')
    expect(said).toMatch(/Until .*1 Nov.*, “old press” and “old script” could report every kind of event/)
    await programme.database.owner.query("delete from api_key where id like 'old%'")
  })

  test('fits a phone’s screen, and labels every field', async ({ openPage }) => {
    for (const width of [390, 768, 1440]) {
      const page = await openPage({ viewport: { width, height: 800 } })
      for (const path of ['/keys', '/keys/new']) {
        await open(page, path)
        const found = await page.evaluate(() => ({
          isWider: document.documentElement.scrollWidth > window.innerWidth,
          unnamed: [...document.querySelectorAll('input, textarea, select')].filter(
            (one) => (one as HTMLInputElement).labels?.length !== 1,
          ).length,
        }))
        expect(found).toEqual({ isWider: false, unnamed: 0 })
      }
    }
  })
})

describe('the commands', () => {
  const variables = () => ({ DATABASE_URL: programme.database.url })

  test('make a key for a machine without a browser, and send with it', async () => {
    const made = launchCommand(
      'key',
      ['--name', 'loader', '--source', 'loader', '--plant', 'PL1', '--kind', 'scanned'],
      variables(),
    )
    const [secret] = await made.waitFor(/hfk_[\w-]{43}/)
    expect(await made.ended).toBe(0)
    const [{ rows }] = [
      await programme.database.owner.query("select who from audit_entry where after ->> 'name' = 'loader'"),
    ]
    expect(rows).toEqual([{ who: 'command' }])
    const { writeFileSync, mkdtempSync } = await import('node:fs')
    const file = `${mkdtempSync('/tmp/holdfast-keys-')}/events.ndjson`
    writeFileSync(file, JSON.stringify(createReport('loader', { sample: KIT })))
    const to = ['--to', programme.server.address]
    const sent = launchCommand('load', [file, '--key', secret, ...to], {})
    expect(await sent.ended, sent.output()).toBe(0)
    const keyless = launchCommand('load', [file, ...to], {})
    expect(await keyless.ended).toBe(1)
    expect(keyless.output()).toContain('--key')
    const wrong = launchCommand('load', [file, ...to], { HOLDFAST_KEY: 'hfk_none' })
    expect(await wrong.ended).toBe(1)
    expect(wrong.output()).toContain('refuses this key')
  })

  test.for([
    [['--plant', 'PL1'], { sides: ['plant'], plants: ['PL1'], laboratories: null }],
    [['--laboratory', 'LAB'], { sides: ['laboratory'], plants: null, laboratories: ['LAB'] }],
    [['--carrier'], { sides: ['carrier'], plants: null, laboratories: null }],
    [[], { sides: ['programme'], plants: null, laboratories: null }],
  ] as [string[], object][])(
    'make a key that speaks for one side: %j',
    async ([options, rights], { expect }) => {
      const name = `speaks as ${options[0] ?? 'none'}`
      const made = launchCommand('key', ['--name', name, '--source', name, ...options], variables())
      expect(await made.ended, made.output()).toBe(0)
      const key = (await listKeys(programme.database.authPool)).find((one) => one.name === name)
      expect(key).toMatchObject({ ...rights, kinds: null })
    },
  )

  const refused = [
    [['--name', 'x'], /at least one --source/],
    [['--name', 'x', '--source', 'hand 1'], /reserved for people/],
    [['--name', 'x', '--source', 'a', '--kind', 'cut'], /not a kind of event/],
    [['--name', 'x', '--source', 'a', '--plant', 'PL9'], /no plant "PL9"/],
    [['--name', 'x', '--source', 'a', '--register', '--plant', 'PL1'], /Create two keys/],
    [['--name', 'x', '--source', 'a', '--plant', 'PL1', '--laboratory', 'LAB'], /Create two keys/],
    [['--name', 'x', '--source', 'a', '--carrier', '--plant', 'PL1'], /Leave out --carrier/],
    [['--name', 'x', '--source', 'a', '--carrier', '--register'], /Create two keys/],
    [['--name', 'x', '--source', 'their dock'], /speaks under “their dock” for plant PL2/],
    [['--name', 'x', '--source', 'a', '--expires', '2020-01-31'], /is over/],
  ] as const
  test.for(drawUsual(refused, 4))('refuse %j in a sentence', async ([options, sentence]) => {
    const run = launchCommand('key', [...options], variables())
    expect(await run.ended).toBe(1)
    expect(run.output()).toMatch(sentence)
  })
})
