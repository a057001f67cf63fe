import { beforeAll, expect } from 'vitest'
import { browserTest as test } from '@/tests/setup/browser'
import { openSharedServer } from '@/tests/setup/sharedServer'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import type { ServedProgramme } from '../setup/signIn'

let server: ServedProgramme
let administrator: SignedIn
beforeAll(async () => {
  server = await openSharedServer('empty')
  administrator = await signInAs(server.database, ADMINISTRATOR, 'chief@test.invalid')
})

test('a refused form of a person keeps what was typed, and puts none of it in the URL', async ({
  openPage,
}) => {
  const page = await openPage({ javaScriptEnabled: false })
  await administrator.addTo(page.context(), server.address)
  const addresses: string[] = []
  page.on('request', (request) => addresses.push(request.url()))
  await page.goto(`${server.address}/setup/people`)
  await page.getByLabel('E-mail', { exact: true }).fill('Private.Person@example.org')
  await page.getByLabel('Name', { exact: true }).fill('Private Person')
  await page.getByLabel('Time zone', { exact: true }).fill('Mars/Base')
  await page.getByLabel('Reader: figures over all plants').check()
  await page.getByRole('button', { name: 'Add', exact: true }).click()
  expect(await page.locator('main').textContent()).toContain('Enter a time zone, such as Europe/Lisbon.')
  expect(await page.getByLabel('E-mail', { exact: true }).inputValue()).toBe('Private.Person@example.org')
  expect(await page.getByLabel('Reader: figures over all plants').isChecked()).toBe(true)
  const refusedAt = page.url()
  expect(refusedAt).toMatch(/\/setup\/people\?draft=[\w-]+$/)

  await page.getByLabel('Time zone', { exact: true }).fill('Europe/Lisbon')
  await page.getByRole('button', { name: 'Add', exact: true }).click()
  expect(await page.locator('main').textContent()).toContain('Saved: Private Person, reader.')
  expect(addresses.filter((one) => /private|person@/i.test(decodeURIComponent(one)))).toEqual([])
  const { rowCount } = await server.database.owner.query(
    "select from setup_draft where content::text like '%rivate%'",
  )
  expect(rowCount).toBe(0)
})

test('a mailbox that is not an e-mail address is shown again as typed, and not in the URL', async ({
  openPage,
}) => {
  const page = await openPage({ javaScriptEnabled: false })
  await administrator.addTo(page.context(), server.address)
  await page.goto(`${server.address}/setup/people/${administrator.personId}`)
  const field = page.getByLabel('Shared mailbox')
  await field.fill('desk@mill')
  await page.getByRole('button', { name: 'Save mailbox' }).click()
  await page.getByText('Enter an e-mail address, such as name@example.org, or leave it empty.').waitFor()
  expect(await field.inputValue()).toBe('desk@mill')
  expect(decodeURIComponent(page.url())).not.toContain('mill')
})

test('a refused form is shown again only to its sender and on the same person’s page', async ({
  openPage,
}) => {
  const other = await signInAs(server.database, ADMINISTRATOR)
  const sent = await fetch(`${server.address}/api/setup/people`, {
    method: 'POST',
    headers: administrator.headers,
    body: new URLSearchParams({ email: 'kept@example.org', name: 'Kept', zone: 'nowhere' }),
    redirect: 'manual',
  })
  const query = new URL(sent.headers.get('location') ?? '', server.address).search
  const emailAt = async (who: SignedIn, path: string) => {
    const page = await openPage()
    await who.addTo(page.context(), server.address)
    await page.goto(server.address + path)
    return page.getByLabel('E-mail', { exact: true }).inputValue()
  }
  expect(await emailAt(administrator, `/setup/people${query}`)).toBe('kept@example.org')
  expect(await emailAt(other, `/setup/people${query}`)).toBe('')
  expect(await emailAt(administrator, `/setup/people/${other.personId}${query}`)).toBe(other.email)
})

test('someone without a role sees so on their own page, with whom to ask', async ({ openPage }) => {
  const page = await openPage({ expectedErrors: [/404/] })
  const newcomer = await signInAs(server.database, {})
  await newcomer.addTo(page.context(), server.address)
  expect((await page.goto(`${server.address}/me`))?.status()).toBe(200)
  const said = (await page.locator('main').textContent()) ?? ''
  expect(said).toContain('You have no role in the programme yet')
  expect(said).toContain('chief@test.invalid')
  expect((await page.goto(`${server.address}/`))?.status()).toBe(404)
  const contact = await signInAs(server.database, { plants: ['MILL'] })
  const mine = await openPage()
  await contact.addTo(mine.context(), server.address)
  await mine.goto(`${server.address}/me`)
  expect(await mine.locator('main').textContent()).not.toContain('until you have a role')
})
