import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { fillTwoMakers } from '@/tests/access/twoMakers'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

let database: TestDatabase
let server: TestServer
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  await fillTwoMakers(database)
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR, 'chief@test.invalid')
})

const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
const exportPeople = async () =>
  (await fetch(`${server.address}/api/setup/people/csv`, { headers: administrator.headers })).text()

async function previewList(page: Page, list: string): Promise<void> {
  await page.goto(`${server.address}/setup/csv/people`)
  await page.getByLabel('Paste it here').fill(list)
  await press(page, 'Review changes')
}

describe('people from a CSV', () => {
  test('are previewed, applied on confirmation, recorded, and exported again', async ({ openPage }) => {
    const page = await openPage({ javaScriptEnabled: false })
    await administrator.addTo(page.context(), server.address)
    const addresses: string[] = []
    page.on('request', (request) => addresses.push(request.url()))
    await page.goto(`${server.address}/setup/people`)
    await page.getByRole('link', { name: 'Import many from a CSV' }).click()
    expect(await readMain(page)).toContain('plant contact,PL1')
    await previewList(page, 'email,mood\nx@list.example,good')
    expect(await readMain(page)).toContain('There is no column “mood”.')
    expect(await page.getByLabel('Paste it here').inputValue()).toContain('x@list.example,good')

    await page
      .getByLabel('Paste it here')
      .fill(
        'email,name,zone,role,place\n' +
          'line@list.example,=Line office,Europe/Lisbon,plant contact,PL1\n' +
          'line@list.example,,,plant contact,PL2\n' +
          'bad@list.example,Bad,,plant contact,NOWHERE\n' +
          'chief@test.invalid,,,reader,\n',
      )
    await press(page, 'Review changes')
    expect(await readMain(page)).toContain('1 person is added')
    expect(await readMain(page)).toContain('Roles: contact of PL1 and PL2')
    expect(await readMain(page)).toContain(
      'Line 4: Column place: No plant in the register has the code “NOWHERE”.',
    )
    expect(await readMain(page)).toContain('Line 5: No administrator would be left')
    expect(await exportPeople()).not.toContain('line@list.example')

    await press(page, 'Apply change')
    expect(await readMain(page)).toContain('1 person added, 0 people changed.')
    expect(await exportPeople()).toContain(
      `"line@list.example","'=Line office","Europe/Lisbon","plant contact","PL1","no"\r\n`,
    )
    const { rows } = await database.owner.query(
      "select who, after ->> 'email' as email from audit_entry where what = 'added a person'",
    )
    expect(rows).toEqual([{ who: `person ${administrator.personId}`, email: 'line@list.example' }])
    expect(addresses.filter((one) => one.includes('example'))).toEqual([])
    const { rowCount } = await database.owner.query(
      "select from setup_draft where content::text like '%line@list%'",
    )
    expect(rowCount).toBe(0)
  })

  test('exported and imported again as a file change nobody', async ({ page }) => {
    await administrator.addTo(page.context(), server.address)
    await page.goto(`${server.address}/setup/csv/people`)
    await page
      .getByLabel('or choose a file')
      .setInputFiles({ name: 'people.csv', mimeType: 'text/csv', buffer: Buffer.from(await exportPeople()) })
    await press(page, 'Review changes')
    await page.waitForURL('**/setup/people/changes/*')
    expect(await readMain(page)).toContain('Nobody is changed.')
    expect(await readMain(page)).toContain('3 people are listed as they are now')
    expect(await page.getByRole('button', { name: 'Apply change' }).count()).toBe(0)
  })

  test('are not applied if something changed meanwhile, and can be discarded', async ({ page }) => {
    await administrator.addTo(page.context(), server.address)
    const late = 'late@list.example'
    await previewList(page, `email,name,role,place\n${late},Late,reader,`)
    await page.waitForURL('**/setup/people/changes/*')
    await signInAs(database, { plants: ['PL1'] }, late)
    await press(page, 'Apply change')
    await page.waitForURL('**?moved=yes')
    expect(await readMain(page)).toContain('nothing was applied. Review the changes again.')
    expect(await readMain(page)).toContain('Roles: contact of PL1 → reader')
    await press(page, 'Discard')
    await page.waitForURL('**/setup/people')
    expect(await exportPeople()).toContain(
      `"${late}","A person of the tests","UTC","plant contact","PL1","no"`,
    )
  })

  test('are only for administrators, and only their sender can see or confirm a list', async () => {
    const [contact, other] = [
      await signInAs(database, { plants: ['PL1'] }),
      await signInAs(database, ADMINISTRATOR),
    ]
    const send = (who: SignedIn, path: string, fields: Record<string, string>) =>
      fetch(server.address + path, {
        method: 'POST',
        headers: who.headers,
        body: new URLSearchParams(fields),
        redirect: 'manual',
      })
    const list = { text: 'email,name,role,place\nhidden@list.example,Hidden,administrator,' }
    expect((await send(contact, '/api/setup/people/csv', list)).status).toBe(403)
    expect((await fetch(`${server.address}/api/setup/people/csv`, { headers: contact.headers })).status).toBe(
      403,
    )
    const shownAt = (await send(administrator, '/api/setup/people/csv', list)).headers.get('location') ?? ''
    const look = async (who: SignedIn) =>
      (await fetch(server.address + shownAt, { headers: who.headers })).text()
    const page = await look(administrator)
    expect(page).toContain('hidden@list.example')
    expect(await look(other)).not.toContain('hidden@list.example')
    const fields = {
      id: shownAt.split('/').at(-1) ?? '',
      shown: /name="shown" value="(\w+)"/.exec(page)?.[1] ?? '',
      act: 'do',
    }
    expect(fields.shown).toHaveLength(64)
    for (const who of [contact, other]) await send(who, '/api/setup/people/changes', fields)
    expect(await exportPeople()).not.toContain('hidden@list.example')
    await send(administrator, '/api/setup/people/changes', fields)
    expect(await exportPeople()).toContain('hidden@list.example')
  })
})
