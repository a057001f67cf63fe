import fc from 'fast-check'
import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import type { ApiKey, Principal } from '@/lib/policy/principal'
import { makeRandom } from '@/tests/bench/manyEvents'

const random = makeRandom(9913)
export const CODES = Array.from({ length: 5 }, () => generateKitCode(random))
export const MAKERS: Record<string, string | undefined> = { P1: 'M1', P2: 'M1', P3: 'M2', P4: undefined }
export const PLANTS = Object.keys(MAKERS)
export const LABORATORIES = ['L1', 'L2']

const anyEnds = fc.record({
  plant: fc.constantFrom(...PLANTS),
  laboratory: fc.constantFrom(...LABORATORIES),
})
export type Ends = { plant: string; laboratory: string }

const anyPlaces = (places: readonly string[]) => fc.subarray([...places], { minLength: 1, maxLength: 2 })
const anyKinds = fc.option(fc.subarray([...EVENT_KINDS], { minLength: 1, maxLength: 12 }), { freq: 2 })
const KEY = { kind: 'key', name: 'a key', sources: [], maySetRegister: false } as const

const anyPerson = fc
  .record({
    isAdministrator: fc.oneof({ weight: 4, arbitrary: fc.constant(false) }, fc.constant(true)),
    isReader: fc.boolean(),
    plants: fc.subarray(PLANTS, { maxLength: 2 }),
    laboratories: fc.subarray(LABORATORIES, { maxLength: 1 }),
  })
  .map((roles) => ({ kind: 'person' as const, email: '', name: '', roles }))
const anyKey = fc
  .record({
    plants: fc.option(anyPlaces(PLANTS)),
    laboratories: fc.option(anyPlaces(LABORATORIES)),
    kinds: anyKinds,
    mayImportHistory: fc.oneof({ weight: 3, arbitrary: fc.constant(false) }, fc.constant(true)),
    isCarrier: fc.boolean(),
  })
  .map(({ isCarrier, ...key }) => {
    const isEverywhere = key.plants === null && key.laboratories === null
    const sides = isEverywhere && isCarrier ? (['carrier'] as const) : listSides(key)
    return { ...KEY, ...key, sides }
  })
/** A key that was made before keys had sides may have two. */
function listSides({ plants, laboratories }: Pick<ApiKey, 'plants' | 'laboratories'>): ApiKey['sides'] {
  if (plants === null) return laboratories === null ? ['programme'] : ['laboratory']
  return laboratories === null ? ['plant'] : ['plant', 'laboratory']
}

const makePlantKey = (plant: string) => ({
  ...KEY,
  ...{ sides: ['plant' as const], plants: [plant], laboratories: null, kinds: null, mayImportHistory: false },
})
const anyPlantKey = fc.constantFrom(...PLANTS).map(makePlantKey)
const anyPrincipal: fc.Arbitrary<Principal> = fc
  .oneof(anyPerson, anyKey, anyPlantKey)
  .map((principal) => ({ ...principal, id: '' }) as Principal)

const anyEvent = fc.record({
  by: fc.nat(4),
  /** Whether one is sought who may report it, from `by` on. */
  isFitting: fc.oneof({ weight: 3, arbitrary: fc.constant(true) }, fc.constant(false)),
  kind: fc.oneof(
    fc.constantFrom(...EVENT_KINDS),
    {
      weight: 3,
      arbitrary: fc.constantFrom<EventKind>('dispatched', 'received', 'withdrawn', 'returned', 'scanned'),
    },
    { weight: 3, arbitrary: fc.constant<EventKind>('dispatched') },
  ),
  /** One beyond the kits is unknown; two, and the event is about its consignment. */
  sample: fc.nat(CODES.length + 2),
  waybill: fc.constantFrom('W1', 'W1', 'W2', null),
  days: fc.constantFrom(0, 0, 0, 0, -61, -100, 3),
  corrects: fc.option(fc.nat(11), { freq: 3 }),
})
export type AnyEvent = typeof anyEvent extends fc.Arbitrary<infer T> ? T : never

/** Two makers hand over their samples under one waybill. */
const RIVALS: AnyEvent[] = [0, 1].map((nth) => ({
  ...{ by: nth, sample: nth, kind: 'dispatched', isFitting: false, waybill: 'W1', days: 0, corrects: null },
}))
const RIVAL_PLANTS = ['P1', 'P3']

/** A random programme: its kits, who reports, what, in which order. */
export const scenario = fc.record({
  kits: fc
    .array(anyEnds, { minLength: CODES.length, maxLength: CODES.length })
    .map((kits) => kits.map((ends, nth) => ({ ...ends, plant: RIVAL_PLANTS[nth] ?? ends.plant }))),
  /** The register has all kits from this event on, and before it all but the last; then the first one moves. */
  kitsFrom: fc.nat(8),
  movedTo: fc.option(anyEnds, { freq: 3 }),
  principals: fc
    .array(anyPrincipal, { minLength: 3, maxLength: 3 })
    .map((some) => [
      ...RIVAL_PLANTS.map((plant): Principal => ({ ...makePlantKey(plant), id: '' })),
      ...some,
    ]),
  events: fc
    .tuple(fc.boolean(), fc.array(anyEvent, { minLength: 3, maxLength: 10 }))
    .map(([areRivals, some]) => (areRivals ? [...RIVALS, ...some] : some)),
  stepMs: fc.constantFrom(0, 1_000),
  order: fc
    .infiniteStream(fc.nat())
    .map((stream) => Array.from({ length: 12 }, () => stream.next().value as number)),
})

/** A code that no kit has. */
export const UNKNOWN = generateKitCode(random)
