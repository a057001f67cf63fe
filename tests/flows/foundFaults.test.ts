import type { Page } from 'playwright-core'
import { beforeAll, expect } from 'vitest'
import { CONFIRMED } from '@/lib/intake/hand/eventForm'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import type { SignedIn } from '@/tests/setup/signIn'
import { type HandProgramme, OWN, PHONE, recordAs, startHandProgramme } from './byHandProgramme'

let server: HandProgramme
beforeAll(async () => {
  server = await startHandProgramme()
})

const [ruled, takenBack, ownSeal, slipped, meant, keptBack, ruledLater, ruledOut, warm, undone] = OWN as [
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
]
const BROKEN = { 'condition.seal': 'broken', 'condition.form': 'missing' }

async function openAs(open: (options: object) => Promise<Page>, person: SignedIn, path: string) {
  const page = await open({ ...PHONE, javaScriptEnabled: false })
  await person.addTo(page.context(), server.address)
  await page.goto(`${server.address}${path}`)
  return page
}

const press = (page: Page, name: string) => page.getByRole('button', { name }).click()
/** The key of the first event of a kind of a sample. */
async function readKey(sample: string, kind: string): Promise<string> {
  const { rows } = await server.database.owner.query(
    "select source || '/' || id as key from event where sample = $1 and kind = $2 order by seq limit 1",
    [sample, kind],
  )
  return rows[0]?.key
}

const readFound = async (page: Page) => (await page.locator('#found').textContent()) ?? ''

test('faults of a receipt wait for one ruling on all of them; a note needs none', async ({ openPage }) => {
  const received = { kind: 'received', 'condition.packaging': 'wet', ...BROKEN }
  await recordAs(server, server.administrator, { kind: 'collected', sample: ruled })
  await recordAs(server, server.administrator, { kind: 'dispatched', service: 'road', sample: ruled })
  await recordAs(server, server.desk, { ...received, sample: ruled })
  const page = await openAs(openPage, server.administrator, `/samples/${ruled}`)
  expect(await readFound(page)).toMatch(/seal broken, [^.]+\. The programme has not ruled on it yet\./)
  expect(await readFound(page)).toMatch(/form missing, [^.]+\. A note: it needs no ruling\./)
  await page.getByRole('link', { name: 'Rule on it' }).first().click()
  for (const name of ['seal broken', 'packaging wet']) await page.getByRole('checkbox', { name }).check()
  await page.getByRole('combobox', { name: 'Ruling' }).selectOption('use with a note')
  await page.getByLabel('Why').first().fill('the inner bag is whole')
  await press(page, 'Record: rule on what was found')
  expect((await readFound(page)).match(/Ruling: use with a note; the inner bag is whole\./g)).toHaveLength(2)
  expect(await readMain(page)).toContain('What is ruled on: packaging wet and seal broken')
  expect(await page.getByRole('link', { name: 'Rule on it' }).count()).toBe(0)
})

test('the desk takes a fault back with a reason, and the plant cannot', async ({ openPage }) => {
  await recordAs(server, server.desk, { kind: 'received', sample: takenBack, ...BROKEN })
  const plant = await openAs(openPage, server.contact, `/samples/${takenBack}`)
  expect(await readFound(plant)).toMatch(/seal broken, .+, reported by A person of the tests/)
  expect(await plant.getByRole('link', { name: 'Take it back' }).count()).toBe(0)
  const desk = await openAs(openPage, server.desk, `/samples/${takenBack}`)
  const seal = desk.locator('#found li').filter({ hasText: 'seal broken' })
  await seal.getByRole('link', { name: 'Take it back' }).click()
  await press(desk, 'Take it back')
  expect(await readFound(desk)).toContain('Say why.')
  await desk.locator('#found').getByLabel('Why there was no such fault').fill('it was the next box')
  await press(desk, 'Take it back')
  expect(await desk.locator('#done').textContent()).toContain('What was found is taken back.')
  expect(await readFound(desk)).not.toContain('seal broken')
  expect(await readFound(desk)).toMatch(
    /Seal: broken, taken back .+ by A person of the tests: it was the next box\./,
  )
  expect(await desk.locator('#found s').textContent()).toBe('Seal: broken')
  expect(await readFound(desk)).toContain('form missing')
  await press(desk, 'Undo')
  expect(await readFound(desk)).toContain('seal broken')
  expect(await readFound(desk)).not.toContain('taken back')
  await seal.getByRole('link', { name: 'Take it back' }).click()
  await desk.locator('#found').getByLabel('Why there was no such fault').fill('it was the next box')
  await press(desk, 'Take it back')
  expect(await readMain(desk)).toContain('takes back “Seal: broken” of')
  const receipt = desk.getByRole('row').filter({ hasText: 'Seal: broken' })
  await receipt.getByRole('link', { name: 'Change' }).click()
  expect(await desk.locator('#record').textContent()).toContain('What was found at this receipt stays')
  await desk.locator('#found').getByRole('link', { name: 'Take it back' }).click()
  await desk.locator('#found').getByLabel('Why there was no such fault').fill('it lay under the next box')
  await press(desk, 'Take it back')
  await receipt.getByRole('link', { name: 'Change' }).click()
  expect(await desk.locator('#record').textContent()).not.toContain('What was found at this receipt stays')
})

test('a plant reports that its seal broke, and the desk cannot change that', async ({ openPage }) => {
  const page = await openAs(openPage, server.contact, `/samples/${ownSeal}?record=deviation`)
  await page.getByLabel('What was found').fill('seal broke in the cold store')
  await page.getByLabel('Number on its seal').fill('N 4711')
  await page.getByLabel('How long it was open').fill('20 minutes')
  await press(page, 'Record: report a deviation')
  expect(await readMain(page)).toMatch(/Recorded: deviation found, .+ Lisbon\./)
  expect(await readMain(page)).toContain('N 4711')
  expect(await page.locator('#done').getByRole('button', { name: 'Undo' }).count()).toBe(0)
  await page.locator('#done').getByRole('link', { name: 'Change it or take it back' }).click()
  await page.getByRole('button', { name: 'Withdraw' }).waitFor()
  const found = page.getByRole('row').filter({ hasText: 'deviation found' })
  expect(await found.getByRole('link', { name: 'Change' }).count()).toBe(1)
  const desk = await openAs(openPage, server.desk, `/samples/${ownSeal}`)
  expect(await readFound(desk)).toContain(
    'seal broke in the cold store (open for 20 minutes, sealed again with number N 4711)',
  )
  expect(await desk.getByRole('link', { name: 'Change' }).count()).toBe(0)
})

test('a temperature is told of that cannot be judged', async ({ openPage }) => {
  await recordAs(server, server.desk, { kind: 'received', sample: warm, 'condition.temperature': '61 °C' })
  const page = await openAs(openPage, server.desk, `/samples/${warm}`)
  expect(await readMain(page)).toContain('Temperature, °C: 61')
  expect(await readFound(page)).toContain('Whether 61 °C at receipt is right cannot be judged')
})

test('the faults of a receipt move with it to the kit that it belongs to', async ({ openPage }) => {
  await recordAs(server, server.desk, { kind: 'received', sample: slipped, ...BROKEN })
  const page = await openAs(openPage, server.desk, `/samples/${slipped}`)
  await page.getByText('Move events to another kit').click()
  await page.getByLabel('Code of the kit').fill(meant)
  await page.locator('#move').getByLabel('Why').fill('the labels were side by side')
  await page.locator('#move').getByRole('button').click()
  await page.waitForURL(/done=/)
  await page.goto(`${server.address}/samples/${slipped}`)
  expect(await page.locator('#found').filter({ hasText: 'seal broken' }).count()).toBe(0)
  await page.goto(`${server.address}/samples/${meant}`)
  expect(await readFound(page)).toContain('seal broken')
  await page.goBack()
  await page.goBack()
  expect(await page.locator('#done').textContent()).toContain('Recorded: received')
  await press(page, 'Undo')
  await page.goto(`${server.address}/samples/${slipped}`)
  expect(await readFound(page)).toContain('seal broken')
  await page.goto(`${server.address}/samples/${meant}`)
  expect(await page.locator('#found li:not(:has(s))').count()).toBe(0)
})

test('a deviation is withdrawn only with a reason', async ({ openPage }) => {
  const page = await openAs(openPage, server.contact, `/samples/${ownSeal}`)
  const found = page.getByRole('row').filter({ hasText: 'deviation found' })
  await found.getByRole('link', { name: 'Change' }).click()
  await page.locator('#record').getByLabel('Why it is withdrawn').fill(' ')
  await press(page, 'Withdraw the report')
  expect(await page.locator('#record').textContent()).toContain('Say why.')
  const { status, answer } = await recordAs(
    server,
    server.contact,
    { sample: ownSeal, event: await readKey(ownSeal, 'deviation') },
    '/api/record/undo',
  )
  expect([status, answer.errors]).toEqual([422, [{ pointer: '/reason', detail: 'Say why.' }]])
  await page.locator('#record').getByLabel('Why it is withdrawn').fill('it was the seal of the next bag')
  await press(page, 'Withdraw the report')
  expect(await readMain(page)).toContain('it was the seal of the next bag')
  expect(await page.locator('#found').count()).toBe(0)
})

test.each([
  ['handed over', 'dispatched', 'Do not send it before the programme has ruled.'],
  ['in the chamber', 'loaded', 'Do not load it before the programme has ruled.'],
])('what is in question is recorded as %s only once that is confirmed', async (_, kind, restraint) => {
  const sample = kind === 'loaded' ? ruledLater : keptBack
  await recordAs(server, server.administrator, { kind: 'collected', sample })
  if (kind === 'loaded') await recordAs(server, server.desk, { kind: 'received', sample, ...BROKEN })
  else await recordAs(server, server.contact, { kind: 'deviation', what: 'torn', sample })
  const said = { kind, service: kind === 'loaded' ? '' : 'road', sample }
  const refused = await recordAs(server, server.administrator, said)
  expect([refused.status, refused.answer.errors]).toEqual([
    422,
    [{ pointer: '/confirm', detail: `${restraint} If it happened all the same, confirm that.` }],
  ])
  const taken = await recordAs(server, server.administrator, { ...said, confirm: CONFIRMED })
  expect([taken.status, taken.answer.result]).toEqual([200, 'recorded'])
})

test('what is ruled out is loaded only once that is confirmed', async ({ openPage }) => {
  await recordAs(server, server.administrator, { kind: 'collected', sample: ruledOut })
  await recordAs(server, server.desk, { kind: 'received', sample: ruledOut, ...BROKEN })
  const on = await readKey(ruledOut, 'received')
  const ruling = { kind: 'ruling', on: `${on}#seal`, ruling: 'cut again', reason: 'open', sample: ruledOut }
  expect((await recordAs(server, server.administrator, ruling)).status).toBe(200)
  const page = await openAs(openPage, server.desk, `/samples/${ruledOut}?record=loaded`)
  await press(page, 'Record: loaded into the chamber')
  expect(await page.locator('#record').textContent()).toContain('keep or discard it by the site’s rules')
  await page.getByLabel('It happened all the same; record it').check()
  await press(page, 'Record: loaded into the chamber')
  expect(await readMain(page)).toContain('Recorded: in the chamber')
})

test('an undone correction brings the receipt back; what it found stays until it is taken back', async ({
  openPage,
}) => {
  const received = { kind: 'received', sample: undone, 'condition.seal': 'intact' }
  await recordAs(server, server.administrator, { kind: 'collected', sample: undone })
  await recordAs(server, server.administrator, { kind: 'dispatched', service: 'road', sample: undone })
  await recordAs(server, server.desk, received)
  const corrects = await readKey(undone, 'received')
  const correction = { ...received, corrects, 'condition.packaging': 'wet' }
  const { answer } = await recordAs(server, server.desk, correction)
  const [event] = answer.events as string[]
  const undo = (person: SignedIn) =>
    recordAs(server, person, { sample: undone, event, restore: 'yes' }, '/api/record/undo')
  // Only whoever made a correction undoes it; others withdraw what is wrong.
  expect((await undo(server.administrator)).status).toBe(403)
  expect((await undo(server.desk)).status).toBe(200)
  const page = await openAs(openPage, server.desk, `/samples/${undone}`)
  expect(await readMain(page)).not.toContain('with the carrier')
  expect(await page.getByRole('row').filter({ hasText: 'undone change: yes' }).count()).toBe(1)
  expect(await readFound(page)).toContain('packaging wet')
})
