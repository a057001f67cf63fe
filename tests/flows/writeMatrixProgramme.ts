import { EVENT_KINDS, type EventKind, UNRESTRICTED } from '@/lib/custody/event'
import { DAY } from '@/lib/hold/zone'
import type { SampleEnds } from '@/lib/policy/mayReport'
import { NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import { type ApiKey, getScope, type Principal } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { includesSample } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { wire } from '@/tests/cases/smallProgramme'
import { ALL_RIGHTS, makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { signInAs } from '@/tests/setup/signIn'
import { ENDS, hoursAgo, makeTwoByTwo, WIRE_FACTS } from './oneDoorProgramme'

const PEOPLE = {
  administrator: { isAdministrator: true },
  reader: { isReader: true },
  'person with no role': {},
  'contact of PL1': { plants: ['PL1'] },
  'desk of LAB': { laboratories: ['LAB'] },
  'contact of PL1 and desk of LAB': { plants: ['PL1'], laboratories: ['LAB'] },
  'contact of PL1 and desk of LAB2': { plants: ['PL1'], laboratories: ['LAB2'] },
} as const satisfies Record<string, Partial<Roles>>

const EVERYWHERE = { kinds: null, plants: null, laboratories: null, mayImportHistory: false }
const KEYS = {
  'key of a plant': { ...EVERYWHERE, sides: ['plant'], plants: ['PL1'] },
  'key of a plant, every kind named': {
    ...EVERYWHERE,
    sides: ['plant'],
    plants: ['PL1'],
    kinds: EVENT_KINDS,
  },
  'key of a plant, one kind named': { ...EVERYWHERE, sides: ['plant'], plants: ['PL1'], kinds: ['sealed'] },
  'key of a laboratory': { ...EVERYWHERE, sides: ['laboratory'], laboratories: ['LAB'] },
  'key of a carrier': { ...EVERYWHERE, sides: ['carrier'] },
  'key of the programme': { ...EVERYWHERE, sides: ['programme'] },
  'key of the programme, every kind named': { ...EVERYWHERE, sides: ['programme'], kinds: EVENT_KINDS },
  'key of both sides': {
    ...EVERYWHERE,
    sides: ['plant', 'laboratory'],
    plants: ['PL1'],
    laboratories: ['LAB2'],
  },
  'key of a plant’s history': { ...EVERYWHERE, sides: ['plant'], plants: ['PL1'], mayImportHistory: true },
} as const satisfies Record<string, Partial<ApiKey>>

export type PersonName = keyof typeof PEOPLE
export type ActorName = PersonName | keyof typeof KEYS
export const PERSON_NAMES = Object.keys(PEOPLE) as PersonName[]
export const ACTOR_NAMES = [...PERSON_NAMES, ...Object.keys(KEYS)] as ActorName[]

export const isPerson = (name: ActorName): name is PersonName => name in PEOPLE

export function getPrincipal(name: ActorName): Principal {
  if (isPerson(name)) {
    const roles = { ...NO_ROLES, ...PEOPLE[name] }
    return { kind: 'person', id: '', email: '', name, roles }
  }
  const rights = KEYS[name]
  return { kind: 'key', id: '', name, sources: [name], maySetRegister: false, ...rights }
}

/** Whether a sample at these ends is shown to them, so that a refusal tells them nothing. A carrier sees none. */
export function sees(by: Principal, ends: SampleEnds): boolean {
  if (by.kind === 'person') return includesSample(getScope(by), ends)
  return by.sides.includes('programme') || includesSample(getScope(by), ends)
}

/** Whether someone may report a kind of any sample, known or not. */
export const mayAnywhere = (by: Principal, kind: EventKind) =>
  [...ENDS, null].some((ends) => may(by, kind, ends))

/** The ways in that take events. Each has samples of its own, so that none changes another's answers. */
export const KIT_USES = [
  'events',
  'record',
  'correct',
  'undo',
  'move',
  'move on',
  'move to',
  'assign',
] as const
export type KitUse = (typeof KIT_USES)[number]

const { register, kits, nextCode } = makeTwoByTwo(KIT_USES.length * ACTOR_NAMES.length, 8802)

/** The kit that an actor's requests of one way in are about. */
export function getKit(use: KitUse, actor: ActorName, ends: SampleEnds): string {
  const nth = KIT_USES.indexOf(use) * ACTOR_NAMES.length + ACTOR_NAMES.indexOf(actor)
  const alike = kits.filter(({ plant, laboratory }) => plant === ends.plant && laboratory === ends.laboratory)
  return alike[nth]?.code as string
}

/** A code that no kit has, for each actor. */
const UNKNOWN = new Map(ACTOR_NAMES.map((name) => [name, nextCode()]))
export const getUnknownKit = (actor: ActorName) => UNKNOWN.get(actor) as string

/** The key of what is there of a kind, for others to correct, withdraw or move. */
export const seedKey = (code: string, kind: string) => `seed/${code} ${kind}`
export const CLAIM = 'claim'
/** Kits of these uses begin with one event of each kind, and a hand-over under a waybill of their own. */
export const SEEDED: readonly KitUse[] = ['events', 'correct', 'undo', 'move', 'move on']

const seedEvent = (sample: string, kind: string) => ({
  source: 'seed',
  id: `${sample} ${kind}`,
  sample,
  kind,
  at: hoursAgo(5 * 24),
  facts: WIRE_FACTS[kind],
  ...(kind === 'withdrawn' ? { corrects: 'seed/nothing' } : {}),
})

/** An event of each kind that is about no kit, for an administrator to assign. */
export const unplacedKey = (code: string, kind: string) => `seed/assign ${code} ${kind}`

export interface WriteProgramme {
  database: TestDatabase
  server: TestServer
  headers: ReadonlyMap<ActorName, Record<string, string>>
  sources: ReadonlyMap<ActorName, string>
}

export async function startWriteProgramme(): Promise<WriteProgramme> {
  const database = await makeTestDatabase()
  await applyRegister(database.app, register, Date.now())
  const codes = ACTOR_NAMES.flatMap((actor) =>
    ENDS.flatMap((ends) =>
      SEEDED.filter((use) => use === 'events' || isPerson(actor)).map((use) => getKit(use, actor, ends)),
    ),
  )
  const assigned = PERSON_NAMES.flatMap((actor) => ENDS.map((ends) => getKit('assign', actor, ends)))
  const seeds = [
    ...codes.flatMap((code) => [
      ...EVENT_KINDS.map((kind) => seedEvent(code, kind)),
      { ...seedEvent(code, 'dispatched'), id: `${code} ${CLAIM}`, service: 'road', waybill: `W ${code}` },
    ]),
    ...assigned.flatMap((code) =>
      EVENT_KINDS.map((kind) => ({
        ...seedEvent(getUnknownKit('administrator'), kind),
        id: `assign ${code} ${kind}`,
      })),
    ),
  ]
  await acceptEvents(database.app, wire(...seeds), UNRESTRICTED, Date.now())
  const server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  const [headers, sources] = [new Map<ActorName, Record<string, string>>(), new Map<ActorName, string>()]
  for (const name of ACTOR_NAMES) {
    const principal = getPrincipal(name)
    if (principal.kind === 'person') {
      const person = await signInAs(database, principal.roles)
      headers.set(name, person.headers)
      sources.set(name, `hand ${person.personId}`)
      continue
    }
    const { kind: _, id: __, ...rights } = principal
    const isOld = rights.sides.length > 1
    const made = isOld ? { ...rights, sides: rights.sides.slice(0, 1), laboratories: null } : rights
    const secret = await makeTestKey(database, { ...ALL_RIGHTS, ...made })
    // Only keys that were made before keys had sides have two.
    if (isOld)
      await database.owner.query('update api_key set sides = $2, laboratories = $3 where name = $1', [
        name,
        rights.sides,
        rights.laboratories,
      ])
    headers.set(name, { authorization: `Bearer ${secret}` })
    sources.set(name, name)
  }
  return { database, server, headers, sources }
}

/** What is answered of one event. */
export interface Row {
  result: string
  event?: string
  problem?: { status: number }
}

export async function post(
  { server, headers }: WriteProgramme,
  actor: ActorName,
  path: string,
  body: unknown,
) {
  const answer = await fetch(`${server.address}${path}`, {
    method: 'POST',
    headers: { ...headers.get(actor), 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  const text = await answer.text()
  return { status: answer.status, text, items: (JSON.parse(text).items ?? []) as Row[] }
}

/** What a form by hand says of an event of this kind, each of its fields filled in. */
export function getForm(kind: EventKind, ends: SampleEnds) {
  return {
    ...{ kind, product: ends.plant === 'PL1' ? 'FELT' : 'CORK', service: 'road', what: 'torn', on: 'seed/x' },
    ...{ ruling: 'use', limit: 'cut to chamber', by: 'customs', reason: 'so' },
    kit: getKit('move to', 'key of a carrier', ends),
    untilDate: new Date(Date.now() + 5 * DAY).toISOString().slice(0, 10),
    ...{ untilTime: '12:00', confirm: 'yes' },
  }
}
