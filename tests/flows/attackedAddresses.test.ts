import { beforeAll, describe, expect, test } from 'vitest'
import { FOREIGN_WORDS, KITS } from '@/tests/access/twoMakers'
import { openSharedServer } from '@/tests/setup/sharedServer'
import { type SignedIn, signInAs } from '@/tests/setup/signIn'
import type { ServedProgramme } from '../setup/signIn'
import { FORM } from './attackedProgramme'
import { listForeignNames } from './matrixCases'
import { rawRequest } from './rawRequest'

const OWN = KITS['PL1 LAB']
const THEIRS = KITS['PL2 LAB']

let server: ServedProgramme

/** The contact of the first plant, out to learn of the second. */
let rival: SignedIn
beforeAll(async () => {
  server = await openSharedServer('attacked')
  rival = await signInAs(server.database, { plants: ['PL1'] })
})

test.each([
  '/samples/..%2f..%2fsetup',
  '/samples/%2e%2e/%2e%2e/setup',
  '/plants/%2e%2e/setup/plants/PL2',
  '/plants/PL1/../PL2',
  '/plants/PL1%2f..%2fPL2',
  '/plants/PL1%252f%252e%252e%252fPL2',
  '/plants/PL1%5c..%5cPL2',
  '/plants/PL1\\..\\PL2',
  '\\plants\\PL2',
  '//plants/PL2',
  '//rival.example/plants/%2e%2e',
  '/\\rival.example/',
  '/plants/PL1%00PL2',
  '/?search=%00',
  '/plants/%c0%ae%c0%ae/setup',
  '/plants/PL2;PL1',
  '/plants/PL1,PL2',
  '/plants/PL2?code=PL1',
  `/samples/${THEIRS}%2f..%2f${OWN}`,
  '/api/plants/PL1%2f..%2fPL2',
  '/api/plants/../plants/PL2',
  '/setup/..%2fsetup',
  '/_next/../package.json',
  '/_next/static/..%2f..%2f..%2fpackage.json',
  '/_next/image?url=%2fplants%2fPL2&w=64&q=75',
  '/..%2f..%2fetc%2fpasswd',
  '/.env',
])('the path %s shows nothing of another’s and leads nowhere else', async (path) => {
  let answer = await rawRequest(server.address, path, {
    host: new URL(server.address).host,
    ...rival.headers,
  })
  for (let steps = 0; answer.headers.location && steps < 3; steps += 1) {
    const next = new URL(String(answer.headers.location), server.address)
    expect(next.origin).toBe(server.address)
    const tidied = `${next.pathname}${next.search}`
    answer = await rawRequest(server.address, tidied, { host: next.host, ...rival.headers })
  }
  expect([400, 404]).toContain(answer.status)
  for (const word of listForeignNames().filter((one) => !path.includes(one)))
    expect(answer.text).not.toContain(word)
})

test('what is asked with the whole address of another site, or as another host, is refused', async () => {
  for (const host of [
    'rival.example',
    `localhost.rival.example`,
    `rival.example:${new URL(server.address).port}`,
  ])
    for (const method of ['GET', 'POST']) {
      const answer = await rawRequest(
        server.address,
        '/',
        { host, cookie: server.administrator.cookie },
        method,
      )
      expect([answer.status, host]).toEqual([421, host])
      expect(answer.text).not.toContain(FOREIGN_WORDS.plant)
    }
  const whole = await rawRequest(server.address, 'http://rival.example/plants/PL2', {
    host: new URL(server.address).host,
    ...rival.headers,
  })
  expect(whole.status).toBe(400)
})

describe('where one is led after signing in', () => {
  const ELSEWHERE = [
    '//rival.example',
    '///rival.example',
    'https://rival.example',
    'https:rival.example',
    '/\\rival.example',
    '\\\\rival.example',
    '/\t/rival.example',
    '/%09/rival.example',
    '/.//rival.example',
    '/x/..//rival.example',
    'javascript:alert(1)',
    '%0d%0aSet-Cookie:x=y',
    '/\r\nSet-Cookie: x=y',
    '/%0d%0aSet-Cookie:x=y',
    '/unplaced\r\nSet-Cookie: x=y',
    '@rival.example',
  ]

  const getOrigin = (location: unknown) => new URL(String(location), server.address).origin

  test.each(ELSEWHERE)('is this site, and no header is split: %j', async (to) => {
    const page = await fetch(`${server.address}/sign-in?${new URLSearchParams({ to })}`)
    expect(page.status).toBe(200)
    const kept = /name="to"[^>]*value="([^"]*)"/.exec(await page.text())?.[1]
    expect(getOrigin(kept ?? '/')).toBe(server.address)
    const body = new URLSearchParams({ role: 'administrator', to }).toString()
    const headers = {
      host: new URL(server.address).host,
      origin: server.address,
      'content-type': FORM,
      'content-length': String(body.length),
    }
    const answer = await rawRequest(server.address, '/api/sign-in/role', headers, 'POST', body)
    expect(answer.status).toBe(303)
    expect(getOrigin(answer.headers.location)).toBe(server.address)
    const cookies = answer.lines.filter((_, index) => answer.lines[index - 1]?.toLowerCase() === 'set-cookie')
    expect(cookies.map((cookie) => cookie.split('=')[0])).not.toContain('x')
    expect(cookies.length).toBeGreaterThan(0)
  })

  test('is where one wanted to go, if that is a page here', async () => {
    const answer = await fetch(`${server.address}/api/sign-in/role`, {
      method: 'POST',
      redirect: 'manual',
      headers: { origin: server.address },
      body: new URLSearchParams({ role: 'administrator', to: '/unplaced?a=1' }),
    })
    expect(answer.headers.get('location')).toBe('/unplaced?a=1')
  })
})
