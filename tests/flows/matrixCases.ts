import type { RouteName } from '@/lib/access/routes'
import { displayCode } from '@/lib/custody/kitCode'
import { FOREIGN_WORDS, KITS } from '@/tests/access/twoMakers'

/** What a request is about: something of the asker's own, another maker's, or nothing that there is. */
export const OBJECTS = ['own', 'foreign', 'absent'] as const
export type ObjectName = (typeof OBJECTS)[number]

/** How a route is asked about an object, as the contact of the first plant sees it. */
export interface Case {
  path: (object: ObjectName) => string
  body?: (object: ObjectName, who: string) => unknown
  /** What is answered to one who may ask; one number where it is the same for every object. */
  status: number | Record<ObjectName, number>
  /** Where someone is answered otherwise, why that is so stands beside it. */
  but?: Record<string, number | Record<ObjectName, number>>
}

const KIT = { own: KITS['PL1 LAB2'], foreign: KITS['PL2 LAB'], absent: KITS.nowhere }
const PLANT = { own: 'PL1', foreign: 'PL2', absent: 'PL9' }
/** Names one sending of a form. */
const TOKEN = '0b0e4d1c-5f5e-4c0a-9a43-3f6f1d1a7781'
/** None is on the sample that is named with it: the second is the other maker's own. */
const UNDONE = { own: 'none/none', foreign: `${FOREIGN_WORDS.source}/PL2 LAB2 sent`, absent: 'none/none' }
const FOUND_OR_NOT = { own: 200, foreign: 404, absent: 404 }
const BOTH_FOUND = { own: 200, foreign: 200, absent: 404 }
/** Who sees everything, and for plants the desk to whose laboratory both send. */
const SEES_ALL = { administrator: BOTH_FOUND }
const SEES_BOTH_PLANTS = { ...SEES_ALL, 'laboratory desk': BOTH_FOUND }

/**
 * Each route that is asked about something, by its path, its body, or its search; and each that changes something. What
 * is not here is asked by its plain address.
 */
export const CASES: Partial<Record<RouteName, Case>> = {
  'page /': { path: (object) => `/?search=${displayCode(KIT[object])}`, status: 200 },
  'page /plants/[code]': {
    path: (object) => `/plants/${PLANT[object]}`,
    status: FOUND_OR_NOT,
    but: SEES_BOTH_PLANTS,
  },
  'page /samples/[code]': {
    path: (object) => `/samples/${displayCode(KIT[object])}`,
    status: FOUND_OR_NOT,
    but: SEES_ALL,
  },
  'GET /api/board': { path: (object) => `/api/board?search=${KIT[object]}`, status: 200 },
  'GET /api/plants/[code]': {
    path: (object) => `/api/plants/${PLANT[object]}`,
    status: FOUND_OR_NOT,
    but: SEES_BOTH_PLANTS,
  },
  'POST /api/events': {
    path: () => '/api/events',
    body: (object, who) => ({
      source: who,
      id: `matrix ${object}`,
      sample: KIT[object],
      kind: 'collected',
      at: '2026-10-30T10:00:00Z',
    }),
    status: 200,
    // A desk does not say that a sample was cut.
    but: { 'laboratory desk': 422 },
  },
  'POST /api/record': {
    path: () => '/api/record',
    body: (object) => ({ token: TOKEN, sample: KIT[object] }),
    status: { own: 422, foreign: 404, absent: 404 },
    but: { administrator: { own: 422, foreign: 422, absent: 404 } },
  },
  'POST /api/record/undo': {
    path: () => '/api/record/undo',
    body: (object) => ({ token: TOKEN, sample: KIT[object], event: UNDONE[object] }),
    status: 404,
  },
  'POST /api/record/move': {
    path: () => '/api/record/move',
    body: (object) => ({ token: TOKEN, sample: KIT[object] }),
    status: { own: 422, foreign: 422, absent: 404 },
  },
  'POST /api/record/assign': {
    path: () => '/api/record/assign',
    body: () => ({ token: TOKEN, event: 'none/none' }),
    status: 404,
  },
  // The key is one of a single plant, and the register is all or nothing.
  'PUT /api/register': { path: () => '/api/register', body: () => ({}), status: 422, but: { key: 403 } },
  'POST /api/health': { path: () => '/api/health', body: () => ({}), status: 200 },
  'POST /api/sign-in/role': { path: () => '/api/sign-in/role', body: () => ({}), status: 404 },
  'POST /api/sign-out': { path: () => '/api/sign-out', body: () => ({}), status: 303 },
}

/** What an answer may say otherwise without telling anything: the code asked for, the nonce, and the time. */
export function withoutEcho(text: string, object: ObjectName): string {
  const codes = [KIT[object], displayCode(KIT[object]), PLANT[object]]
  return codes
    .flatMap((code) => [code, code.toLowerCase()])
    .reduce((rest, code) => rest.replaceAll(code, 'CODE'), text)
    .replace(/\b1[678]\d{11}\b/g, 'NOW')
    .replace(/\d{2}:\d{2}(:\d{2}(\.\d+)?)?Z?/g, 'TIME')
    .replaceAll(`matrix ${object}`, 'matrix')
}

/** All that only the second maker's samples say. A code that was asked for may be said back. */
export function foreignWords(): string[] {
  const codes = [KITS['PL2 LAB'], KITS['PL2 LAB2']]
  return [...Object.values(FOREIGN_WORDS), 'PL2', ...codes, ...codes.map(displayCode)]
}
