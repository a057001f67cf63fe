import { expect } from 'vitest'
import { ROUTES, type RouteName } from '@/lib/policy/routes'
import type { ServedProgramme } from '../setup/signIn'
import { KITS } from './pagesProgramme'

export type PageRoute = Extract<RouteName, `page ${string}`>

/** An address of each page of the shared programme `everyPage`, as an administrator sees it. A page without one does not compile. */
const ADDRESSES: Record<PageRoute, (server: ServedProgramme) => string | Promise<string>> = {
  'page /': () => '/',
  'page /plants/[code]': () => '/plants/PL1',
  'page /plants/[code]/history': () => '/plants/PL1/history',
  'page /samples/[code]': () => `/samples/${KITS.lapsed}`,
  'page /lanes': () => '/lanes',
  'page /lanes/[plant]/[laboratory]/[service]': () => '/lanes/PL1/LAB/road',
  'page /unplaced': () => '/unplaced',
  'page /sign-in': () => '/sign-in',
  'page /sign-in/link': () => `/sign-in/link?token=${'x'.repeat(43)}`,
  'page /sign-in/code': () => '/sign-in/code',
  'page /me': () => '/me',
  'page /digest': () => '/digest',
  'page /due': () => '/due',
  'page /keys': () => '/keys',
  'page /keys/new': () => '/keys/new',
  'page /audit': () => '/audit',
  'page /server': () => '/server',
  'page /figures': () => '/figures',
  'page /lanes/score': () => '/lanes/score',
  'page /arrivals': () => '/arrivals',
  'page /receiving': () => '/receiving',
  'page /setup': () => '/setup',
  'page /setup/[list]': () => '/setup/protocols',
  'page /setup/[list]/[code]': () => '/setup/laboratories/LAB',
  'page /setup/add/[list]': () => '/setup/add/kits',
  'page /setup/changes/[id]': (server) => draftRegisterChange(server),
  'page /setup/csv/[list]': () => '/setup/csv/plants',
  'page /setup/csv/people': () => '/setup/csv/people',
  'page /setup/labels': () => `/setup/labels?codes=${KITS.unused}`,
  'page /setup/office': () => '/setup/office',
  'page /setup/people': () => '/setup/people',
  'page /setup/people/changes/[id]': (server) => draftPeople(server),
  'page /setup/people/[id]': (server) => `/setup/people/${server.administrator.personId}`,
}

/** Makes a draft of a change of plants, and returns where it waits to be confirmed. */
const draftRegisterChange = (server: ServedProgramme) =>
  createDraft(server, '/api/setup/csv', {
    list: 'plants',
    text: 'code,name,zone,maker\nPL3,A third plant,Europe/Lisbon,\n',
  })

/** The same of a list of people, of which a line is refused. */
const draftPeople = (server: ServedProgramme) =>
  createDraft(server, '/api/setup/people/csv', {
    text: 'email,name,role,place\na@example.org,A contact,plant contact,PL1\nb@example.org,B,plant contact,none\n',
  })

async function createDraft(
  server: ServedProgramme,
  path: string,
  fields: Record<string, string>,
): Promise<string> {
  const form = new FormData()
  for (const [name, value] of Object.entries(fields)) form.set(name, value)
  const response = await fetch(server.address + path, {
    method: 'POST',
    headers: server.administrator.headers,
    body: form,
    redirect: 'manual',
  })
  const location = response.headers.get('location') ?? ''
  expect(location).toMatch(/^\/setup\/(people\/)?changes\//)
  return location
}

export const PAGES = (Object.keys(ROUTES) as RouteName[]).filter((name): name is PageRoute =>
  name.startsWith('page '),
)

/** The address of a page on a server with the shared programme `everyPage`. */
export const getPageAddress = async (server: ServedProgramme, name: PageRoute): Promise<string> =>
  server.address + (await ADDRESSES[name](server))
