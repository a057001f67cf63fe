import { formatKitCode } from '@/lib/custody/kitCode'
import type { RouteName } from '@/lib/policy/routes'
import { FOREIGN_WORDS, KITS } from '@/tests/access/twoMakers'
import {
  type Case,
  FOUND_OR_NOT,
  KIT,
  type ObjectName,
  PLANT,
  SEES_ALL,
  SEES_BOTH_PLANTS,
} from './matrixObjects'
import { SETUP_CASES } from './matrixSetupCases'

/** Names one sending of a form. */
const TOKEN = '0b0e4d1c-5f5e-4c0a-9a43-3f6f1d1a7781'
/** None is on the sample that is named with it: the second is the other maker's own. */
const UNDONE = { own: 'none/none', foreign: `${FOREIGN_WORDS.source}/PL2 LAB2 sent`, absent: 'none/none' }
/**
 * Each route that is asked about something, by its path, its body, or its search; and each that changes something. What
 * is not here is asked by its plain address.
 */
export const CASES: Partial<Record<RouteName, Case>> = {
  ...SETUP_CASES,
  'page /': { path: (object) => `/?search=${formatKitCode(KIT[object])}`, status: 200 },
  'page /plants/[code]': {
    path: (object) => `/plants/${PLANT[object]}`,
    status: FOUND_OR_NOT,
    but: SEES_BOTH_PLANTS,
  },
  'page /plants/[code]/history': {
    path: (object) => `/plants/${PLANT[object]}/history`,
    status: FOUND_OR_NOT,
    but: SEES_BOTH_PLANTS,
  },
  'page /samples/[code]': {
    path: (object) => `/samples/${formatKitCode(KIT[object])}`,
    status: FOUND_OR_NOT,
    but: SEES_ALL,
  },
  'page /lanes': { path: (object) => `/lanes?plant=${PLANT[object]}`, status: 200 },
  'page /lanes/[plant]/[laboratory]/[service]': {
    path: (object) => `/lanes/${PLANT[object]}/LAB2/road`,
    status: FOUND_OR_NOT,
    but: SEES_BOTH_PLANTS,
  },
  'GET /api/board': { path: (object) => `/api/board?search=${KIT[object]}`, status: 200 },
  'GET /api/plants/[code]': {
    path: (object) => `/api/plants/${PLANT[object]}`,
    status: FOUND_OR_NOT,
    but: SEES_BOTH_PLANTS,
  },
  'GET /api/plants/[code]/history': {
    path: (object) => `/api/plants/${PLANT[object]}/history`,
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
    status: { own: 422, foreign: 404, absent: 404 },
    but: { administrator: { own: 422, foreign: 422, absent: 404 } },
  },
  'POST /api/record/assign': {
    path: () => '/api/record/assign',
    body: () => ({ token: TOKEN, event: 'none/none' }),
    status: 404,
  },
  // The key is one of a single plant, and the register is all or nothing.
  'PUT /api/register': { path: () => '/api/register', body: () => ({}), status: 422, but: { key: 403 } },
  'GET /api/digest/html': { path: () => '/api/digest/html?occasion=none', status: 404 },
  'GET /api/digest/stop': { path: () => '/api/digest/stop?token=none', status: 200 },
  'POST /api/digest/stop': { path: () => '/api/digest/stop?token=none', body: () => ({}), status: 404 },
  'POST /api/digest/time': { path: () => '/api/digest/time', body: () => ({}), status: 415 },
  'POST /api/digest/again': { path: () => '/api/digest/again', body: () => ({}), status: 415 },
  'POST /api/me/digest': { path: () => '/api/me/digest', body: () => ({}), status: 415 },
  'POST /api/me/zone': { path: () => '/api/me/zone', body: () => ({}), status: 415 },
  'GET /api/calendar/[secret]': { path: () => '/api/calendar/none', status: 404 },
  'page /due': { path: (object) => `/due?plant=${PLANT[object]}`, status: 200 },
  'POST /api/due/snooze': { path: () => '/api/due/snooze', body: () => ({}), status: 415 },
  'POST /api/due/feeds': { path: () => '/api/due/feeds', body: () => ({}), status: 415 },
  'POST /api/due/feeds/[id]/revoke': {
    path: () => '/api/due/feeds/none/revoke',
    body: () => ({}),
    status: 303,
  },
  'POST /api/health': { path: () => '/api/health', body: () => ({}), status: 200 },
  'POST /api/sign-in/role': { path: () => '/api/sign-in/role', body: () => ({}), status: 415 },
  'POST /api/sign-out': { path: () => '/api/sign-out', body: () => ({}), status: 303 },
}

/** What an answer may say otherwise without telling anything: the code asked for, the nonce, and the time. */
export function withoutEcho(text: string, object: ObjectName): string {
  const codes = [KIT[object], formatKitCode(KIT[object]), PLANT[object]]
  return codes
    .flatMap((code) => [code, code.toLowerCase()])
    .reduce((rest, code) => rest.replaceAll(code, 'CODE'), text)
    .replace(/\b1[678]\d{11}\b/g, 'NOW')
    .replace(/\d{2}:\d{2}(:\d{2}(\.\d+)?)?Z?/g, 'TIME')
    .replaceAll(`matrix ${object}`, 'matrix')
}

/** All that only the second maker's samples say. A code that was asked for may be said back. */
export function listForeignNames(): string[] {
  const codes = [KITS['PL2 LAB'], KITS['PL2 LAB2']]
  return [...Object.values(FOREIGN_WORDS), 'PL2', ...codes, ...codes.map(formatKitCode)]
}
