import { beforeAll, describe, expect, test } from 'vitest'
import { browserTest } from '@/tests/setup/browser'
import { BIDI_CONTROLS, type BidiProgramme, deceive, startBidiProgramme } from './bidiProgramme'
import { getPageAddress, PAGES } from './pageAddresses'
import { KITS } from './pagesProgramme'

const CONTROL = new RegExp(`[${BIDI_CONTROLS.join('')}]`)

let programme: BidiProgramme
beforeAll(async () => {
  programme = await startBidiProgramme()
})

const get = (path: string, who: keyof BidiProgramme['readers']) =>
  fetch(programme.address + path, { headers: programme.readers[who].headers, redirect: 'manual' })

/** What a person sees or hears of a page: not what scripts read, nor what stands in a field, which is sent back exactly. */
function listShown(html: string): string[] {
  const shown = html
    .replace(/<(script|style|textarea)\b[^>]*>.*?<\/\1>/gs, ' ')
    .replace(/ value="[^"]*"/g, ' ')
  return shown.split(/[<>]/)
}

const findRaw = (html: string) => listShown(html).filter((text) => CONTROL.test(text))

const LISTS: Record<string, string> = { duty: 'duties', family: 'families', certificate: 'certificates' }

const typed = encodeURIComponent(deceive('typed'))
/** What is asked for or was typed is said back. */
const ECHOES = [
  `/?search=${typed}`,
  `/samples/${typed}`,
  `/plants/${typed}`,
  `/lanes/PL1/LAB/${typed}`,
  `/lanes?plant=${typed}`,
  `/setup/plants/${typed}`,
  `/setup/changes/${typed}`,
  `/setup/people/${typed}`,
  `/audit?who=${typed}&from=${typed}`,
  `/due?plant=${typed}`,
  `/samples/${KITS.atRisk}?record=deviation&typed=yes&what=${typed}&date=${typed}`,
  ...Object.values(KITS).map((code) => `/samples/${code}`),
  `/samples/${KITS.tight}?change=${encodeURIComponent(`${deceive('source')}/${deceive('1')}`)}`,
  `/lanes/PL1/LAB/${encodeURIComponent(deceive('service'))}`,
  ...['laboratories/LAB', 'plants/PL1', 'services/road', 'protocols/TEN', 'products/FELT'].map(
    (entry) => `/setup/${entry}`,
  ),
  ...['duty', 'family', 'certificate'].map(
    (word) => `/setup/${LISTS[word]}/${encodeURIComponent(deceive(word))}`,
  ),
  ...[
    'kits',
    'laboratories',
    'plants',
    'services',
    'products',
    'duties',
    'families',
    'certificates',
    'shutdowns',
  ].map((list) => `/setup/${list}`),
  `/sign-in/code?to=${typed}`,
]

describe.each(['administrator', 'contact', 'desk'] as const)('to the %s', (who) => {
  test.each(PAGES)('no control is shown as such on %s', async (name) => {
    const { pathname, search } = new URL(await getPageAddress(programme, name))
    expect(findRaw(await (await get(pathname + search, who)).text())).toEqual([])
  })

  test.each(ECHOES)('nor on %s', async (path) => {
    expect(findRaw(await (await get(path, who)).text())).toEqual([])
  })
})

test.each([
  '/',
  '/plants/PL1',
  `/samples/${KITS.tight}`,
  '/lanes',
  '/due',
  '/keys',
  '/unplaced',
  '/audit',
  '/setup/people',
])('each control is named on %s', async (path) => {
  const text = listShown(await (await get(path, 'administrator')).text()).join('')
  for (const control of BIDI_CONTROLS)
    expect(text).toContain(`⟨U+${control.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}⟩`)
})

test('the weekly mail names them', async () => {
  for (const who of ['administrator', 'contact', 'desk'] as const) {
    const mail = await (await get('/api/digest/html', who)).text()
    expect(mail).toContain('⟨U+202E⟩')
    expect(mail).not.toMatch(CONTROL)
  }
})

test('data and fields stay exactly as they were sent', async () => {
  const register = (await (await get('/api/register', 'administrator')).json()) as typeof programme.register
  expect(register.plants).toEqual(programme.register.plants)
  const board = JSON.stringify(await (await get('/api/board', 'contact')).json())
  expect(board).toContain(deceive('plants name'))
  const csv = await (await get('/api/setup/csv?list=plants', 'administrator')).text()
  expect(csv).toContain(deceive('plants name'))
  const form = await (await get('/setup/plants/PL1', 'administrator')).text()
  expect(form).toContain(` value="${deceive('plants name')}"`)
})

test('a problem that quotes what was sent names them', async () => {
  const event = {
    source: 'desk',
    id: 'wrong',
    sample: deceive('code'),
    kind: deceive('kind'),
    at: deceive('at'),
  }
  const answer = await fetch(`${programme.address}/api/events`, {
    method: 'POST',
    headers: { ...programme.readers.administrator.headers, 'content-type': 'application/json' },
    body: JSON.stringify(event),
  })
  expect(answer.status).toBe(422)
  const text = await answer.text()
  expect(text).toContain('⟨U+202E⟩')
  expect(text).not.toMatch(CONTROL)
})

browserTest('nor in a browser, whose scripts make the page again', async ({ openPage }) => {
  const page = await openPage({ as: { who: programme.readers.contact, address: programme.address } })
  const { pathname } = new URL(await getPageAddress(programme, 'page /plants/[code]'))
  for (const path of ['/', pathname, `/samples/${KITS.tight}`]) {
    await page.goto(programme.address + path, { waitUntil: 'networkidle' })
    const text = await page.locator('main').textContent()
    expect(text).toContain('⟨U+202E⟩')
    expect(text).not.toMatch(CONTROL)
    expect(await page.title()).not.toMatch(CONTROL)
  }
})
