import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { SIDES } from '@/lib/custody/eventKinds'
import type { SampleEnds } from '@/lib/policy/mayReport'
import { hasRole, ROLE_NAMES } from '@/lib/policy/personRoles'
import type { Principal } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { mayAccess, ROUTES, type RouteName } from '@/lib/policy/routes'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { type Chance, chanceFrom } from '@/tests/reference/random'
import { drawUsual } from '@/tests/setup/drawUsual'
import { getRunSeed } from '@/tests/setup/seed'
import { ENDS, hoursAgo, WIRE_FACTS } from './oneDoorProgramme'
import {
  ACTOR_NAMES,
  type ActorName,
  CLAIM,
  getForm,
  getKit,
  getPrincipal,
  getUnknownKit,
  isPerson,
  KIT_USES,
  mayAnywhere,
  PERSON_NAMES,
  post,
  type Row,
  SEEDED,
  seedKey,
  sees,
  startWriteProgramme,
  unplacedKey,
  type WriteProgramme,
} from './writeMatrixProgramme'

/** The ways in for events; each has a block of tests below. */
const EVENT_ROUTES: RouteName[] = [
  'POST /api/events',
  'POST /api/record',
  'POST /api/record/undo',
  'POST /api/record/move',
  'POST /api/record/assign',
]
/** Files that write events, and so the routes above. */
const WRITERS = ['app/api/events/route.ts', 'app/api/record/recordEvents.ts']
/** What writes no event; `matrix.test.ts` asks all of these as well. */
const OTHER_PATHS =
  /^(POST|PUT) \/api\/(sign-in|sign-out|setup|passkey|me|keys|digest|due|health|register)(\/|$)/

let programme: WriteProgramme
let chance: Chance
beforeAll(async () => {
  chance = chanceFrom(getRunSeed())
  programme = await startWriteProgramme()
})

const NAMES = Object.keys(ROUTES) as RouteName[]

test('each route that changes something takes events here, or none at all', () => {
  const writing = NAMES.filter((name) => !/^(page|GET) /.test(name))
  expect(writing.filter((name) => OTHER_PATHS.test(name) === EVENT_ROUTES.includes(name))).toEqual([])
  const files = ['app', 'lib'].flatMap((folder) =>
    readdirSync(folder, { recursive: true, encoding: 'utf8' }).map((name) => join(folder, name)),
  )
  const callers = files.filter(
    (file) => /\.tsx?$/.test(file) && /\bimport \{[^}]*\bacceptEvents\b/.test(readFileSync(file, 'utf8')),
  )
  expect(callers.sort()).toEqual(WRITERS)
})

test('someone of each role and a key of each side write', () => {
  const principals = ACTOR_NAMES.map(getPrincipal)
  const roles = ROLE_NAMES.filter((role) =>
    principals.some((one) => one.kind === 'person' && hasRole(one.roles, role)),
  )
  expect(roles).toEqual(ROLE_NAMES)
  const sides = SIDES.filter((side) =>
    principals.some((one) => one.kind === 'key' && one.sides.includes(side)),
  )
  expect(sides).toEqual(SIDES)
})

/** All kinds to whoever may ask a route at all; one to those whom it turns away, whatever they ask. */
const listKinds = (by: Principal, route: RouteName): readonly EventKind[] =>
  mayAccess(route, by) ? EVENT_KINDS : EVENT_KINDS.slice(0, 1)

const drawRefused = (kinds: readonly EventKind[]) => drawUsual(kinds, 4, chance)
const half = <T>(all: readonly T[]) => drawUsual(all, all.length / 2, chance)
let tokens = 0
const record = async (actor: ActorName, path: string, body: Record<string, unknown>) => {
  tokens += 1
  return (await post(programme, actor, path, { token: `token-of-the-matrix-${tokens}`, ...body })).status
}

/** What the matrix expects to be on each kit by now: new events by kind, and what there was, marked if it is out. */
const effects = new Map<string, string[]>()
const note = (code: string, ...lines: string[]) => effects.set(code, [...(effects.get(code) ?? []), ...lines])
const getName = ({ plant, laboratory }: SampleEnds) => `${plant} ${laboratory}`
const NOT_FOUND = 404

describe.each(ACTOR_NAMES)('POST /api/events from %s', (actor) => {
  const by = getPrincipal(actor)
  /** What becomes of a kind that is reported, or taken out by an event of another, of a sample at these ends. */
  const expected = (kind: EventKind, ends: SampleEnds | null, target: EventKind = kind) => {
    if (!mayAnywhere(by, kind)) return 422
    if (ends !== null && sees(by, ends) && !(may(by, kind, ends) && may(by, target, ends))) return 403
    return ends !== null && may(by, kind, ends) ? 'accepted' : 'unplaced'
  }
  const send = async (code: string, kinds: readonly EventKind[]) => {
    const item = (kind: EventKind, way: string, more: Record<string, unknown>) => ({
      source: programme.sources.get(actor),
      id: `${code} ${way}`,
      kind,
      at: hoursAgo(4 * 24),
      facts: WIRE_FACTS[kind],
      ...more,
    })
    const sample = code
    const items = kinds.flatMap((kind) => {
      const corrects = seedKey(code, kind)
      const nothing = kind === 'withdrawn' ? { corrects: `seed/nothing of ${code}` } : {}
      return [
        item(kind, `new ${kind}`, { sample, ...nothing }),
        item(kind, `instead ${kind}`, { sample, corrects }),
        item('withdrawn', `out ${kind}`, { sample, corrects }),
        item(kind, `by waybill ${kind}`, { service: 'road', waybill: `W ${code}`, ...nothing }),
      ]
    })
    return post(programme, actor, '/api/events', items)
  }
  const toWord = ({ result, problem }: Row) => problem?.status ?? result

  test.each(ENDS)('of a sample from $plant to $laboratory', async (ends) => {
    const code = getKit('events', actor, ends)
    const { status, items } = await send(code, EVENT_KINDS)
    if (!mayAccess('POST /api/events', by)) {
      expect(status).toBe(403)
      return
    }
    const rows = EVENT_KINDS.flatMap((kind): [string, unknown][] => {
      const byWaybill = !mayAnywhere(by, kind) ? 422 : may(by, kind, ends) ? 'accepted' : 'unplaced'
      return [
        [`new ${kind}`, expected(kind, ends)],
        [`instead ${kind}`, expected(kind, ends)],
        [`out ${kind}`, expected('withdrawn', ends, kind)],
        [`by waybill ${kind}`, byWaybill],
      ]
    })
    expect(items.map((row, index) => [rows[index]?.[0], toWord(row)])).toEqual(rows)
    for (const [way, answer] of rows)
      if (answer === 'accepted')
        note(code, way.startsWith('out ') ? 'withdrawn' : way.replace(/^(new|instead|by waybill) /, ''))
    for (const kind of EVENT_KINDS) if (may(by, kind, ends)) note(code, `out ${seedKey(code, kind)}`)
  })

  test('is answered the same of a sample that they do not see as of an unknown kit', async () => {
    const unknown = getUnknownKit(actor)
    const blank = ({ text }: { text: string }, code: string) => text.replaceAll(code, 'CODE')
    const answer = blank(await send(unknown, EVENT_KINDS), unknown)
    for (const ends of ENDS.filter(
      (one) => !sees(by, one) && !EVENT_KINDS.some((kind) => may(by, kind, one)),
    )) {
      const code = getKit('record', actor, ends)
      expect(blank(await send(code, EVENT_KINDS), code), getName(ends)).toBe(answer)
    }
  })
})

describe('what a person records by hand', () => {
  const judge = (by: Principal, route: RouteName, kind: EventKind, ends: SampleEnds, done: number) => {
    if (!mayAccess(route, by)) return 403
    if (!sees(by, ends)) return NOT_FOUND
    return may(by, kind, ends) ? done : 403
  }
  const cells = PERSON_NAMES.flatMap((actor) => ENDS.map((ends) => ({ actor, ends, at: getName(ends) })))

  test.each(half(cells))('POST /api/record from $actor, $at', async ({ actor, ends }) => {
    const by = getPrincipal(actor)
    const [plain, seeded] = [getKit('record', actor, ends), getKit('correct', actor, ends)]
    const cellsOfKind = listKinds(by, 'POST /api/record').map(async (kind) => {
      const corrects = seedKey(seeded, kind)
      const form = getForm(kind, ends)
      const statuses = await Promise.all([
        record(actor, '/api/record', { ...form, sample: plain }),
        record(actor, '/api/record', { ...form, sample: seeded, corrects }),
      ])
      // A withdrawal has no form of its own.
      const answer = judge(by, 'POST /api/record', kind, ends, kind === 'withdrawn' ? 422 : 200)
      expect(statuses, kind).toEqual([answer, answer])
      if (answer === 200) {
        note(plain, kind)
        note(seeded, kind, `out ${corrects}`)
      }
    })
    await Promise.all(cellsOfKind)
    const unknown = getUnknownKit(actor)
    const isAllowed = mayAccess('POST /api/record', by)
    const said = { ...getForm('collected', ends), sample: unknown, event: 'seed/x' }
    for (const path of ['/api/record', '/api/record/undo'])
      expect(await record(actor, path, said)).toBe(isAllowed ? NOT_FOUND : 403)
  })

  test.each(half(cells))('POST /api/record/undo from $actor, $at', async ({ actor, ends }) => {
    const by = getPrincipal(actor)
    const code = getKit('undo', actor, ends)
    const route = 'POST /api/record/undo'
    const allowed = EVENT_KINDS.filter((kind) => judge(by, route, kind, ends, 200) === 200)
    const undo = (kinds: readonly EventKind[]) => {
      const events = kinds.map((kind) => seedKey(code, kind))
      return record(actor, '/api/record/undo', {
        sample: kinds.map(() => code),
        event: events,
        reason: 'a slip',
      })
    }
    for (const kind of drawRefused(listKinds(by, route).filter((one) => !allowed.includes(one))))
      expect(await undo([kind]), kind).toBe(judge(by, route, kind, ends, 200))
    if (allowed.length === 0) return
    // All or none: with one that is not theirs, the others stay too.
    const other = EVENT_KINDS.find((kind) => !allowed.includes(kind))
    if (other) expect(await undo([...allowed, other])).toBe(403)
    expect(await undo(allowed)).toBe(200)
    for (const kind of allowed) note(code, 'withdrawn', `out ${seedKey(code, kind)}`)
  })

  /** To a sample of the same ends, and to one that differs in its plant, its laboratory, or both. */
  const moves = half(cells).flatMap(({ actor, ends, at }, index) => {
    const other = ENDS[(index + 1 + Math.floor(index / ENDS.length)) % ENDS.length] as SampleEnds
    return [
      { actor, ends, at, use: 'move' as const, to: ends, toName: at },
      { actor, ends, at, use: 'move on' as const, to: other, toName: getName(other) },
    ]
  })
  test.each(moves)('POST /api/record/move from $actor, $at to $toName', async ({ actor, ends, use, to }) => {
    const by = getPrincipal(actor)
    const [code, target] = [getKit(use, actor, ends), getKit('move to', actor, to)]
    const route = 'POST /api/record/move'
    const move = (kinds: readonly EventKind[]) => {
      const event = kinds.map((kind) => seedKey(code, kind))
      return record(actor, '/api/record/move', { sample: code, event, kit: target, reason: 'a slip' })
    }
    // A withdrawal names what it takes out, whatever its kit.
    const allowed = EVENT_KINDS.filter(
      (kind) =>
        kind !== 'withdrawn' &&
        judge(by, route, kind, ends, 200) === 200 &&
        sees(by, to) &&
        may(by, kind, to),
    )
    for (const kind of drawRefused(listKinds(by, route).filter((one) => !allowed.includes(one))))
      expect([403, 404, 422], kind).toContain(await move([kind]))
    if (allowed.length === 0) return
    expect(await move([...allowed, 'withdrawn'])).not.toBe(200)
    expect(await move(allowed)).toBe(200)
    for (const kind of allowed) note(code, `out ${seedKey(code, kind)}`)
    note(target, ...allowed)
  })

  test.each(half(cells))('POST /api/record/assign from $actor, $at', async ({ actor, ends }) => {
    const by = getPrincipal(actor)
    const code = getKit('assign', actor, ends)
    const cellsOfKind = listKinds(by, 'POST /api/record/assign').map(async (kind) => {
      const body = { event: unplacedKey(code, kind), kit: code, reason: 'a slip' }
      const isAllowed = mayAccess('POST /api/record/assign', by) && may(by, kind, null) && may(by, kind, ends)
      expect(await record(actor, '/api/record/assign', body), kind).toBe(isAllowed ? 200 : 403)
      if (isAllowed) note(code, kind)
    })
    await Promise.all(cellsOfKind)
  })

  test.each(ACTOR_NAMES.filter((name) => !isPerson(name)))('is for no %s', async (actor) => {
    for (const route of EVENT_ROUTES.slice(1))
      expect(
        await record(actor, route.slice('POST '.length), {
          sample: getKit('record', actor, ENDS[0] as SampleEnds),
        }),
      ).toBe(403)
  })
})

test('what was allowed counts, each on its own sample, and what was not changes none', async () => {
  for (const actor of ACTOR_NAMES)
    for (const ends of ENDS)
      for (const use of KIT_USES.filter((one) => one === 'events' || isPerson(actor))) {
        const code = getKit(use, actor, ends)
        const dossier = await getSampleDossier(programme.database.app, 'all', code, Date.now())
        const events = dossier?.sample.events ?? []
        const isSeed = ({ event }: (typeof events)[number]) => event.source === 'seed'
        const out = events.filter((one) => one.correctedBy.length > 0)
        const found = [
          ...events.filter((one) => !isSeed(one)).map(({ event }) => event.kind),
          ...out.map(({ event }) => `out ${event.source}/${event.id}`),
        ]
        expect(found.sort(), `${use} ${actor} ${getName(ends)}`).toEqual((effects.get(code) ?? []).sort())
        const isClaimed = events.some(({ event }) => event.id === `${code} ${CLAIM}`)
        expect(isClaimed).toBe(SEEDED.includes(use))
      }
})
