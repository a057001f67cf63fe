import type { Side } from '@/lib/custody/eventKinds'

/** What a person is in the programme, several at once; places by their codes. */
export interface Roles {
  isAdministrator: boolean
  isReader: boolean
  /** The plants whose contact the person is. */
  plants: readonly string[]
  /** The laboratories at whose desk the person works. */
  laboratories: readonly string[]
}

interface RoleRow {
  /** Of what kind of place someone has it; null where it is over all. */
  of: 'plant' | 'laboratory' | null
  /** The samples of its place or of all; or only figures over all plants, with none named. */
  sees: 'samples' | 'figures'
  /** The side whose events it may report; null: none. */
  speaksFor: Exclude<Side, 'carrier'> | null
  /** The places of which someone has it; one without a name where it is over all. */
  held(roles: Roles): readonly string[]
  /** In a list of people; goes on with the codes of its places. */
  called: string
  /** To whoever has it, of so many places; goes on as `called`. */
  inFull(places: number): string
  /** What is said of it where it is given, besides its name. */
  hint: string | null
}

const OVER_ALL = ['']

const ROWS = {
  administrator: {
    of: null,
    sees: 'samples',
    speaksFor: 'programme',
    held: ({ isAdministrator }) => (isAdministrator ? OVER_ALL : []),
    called: 'administrator',
    inFull: () => 'administrator',
    hint: 'all of it',
  },
  reader: {
    of: null,
    sees: 'figures',
    speaksFor: null,
    held: ({ isReader }) => (isReader ? OVER_ALL : []),
    called: 'reader',
    inFull: () => 'reader of the programme’s figures',
    hint: 'figures over all plants, none named',
  },
  'plant contact': {
    of: 'plant',
    sees: 'samples',
    speaksFor: 'plant',
    held: ({ plants }) => plants,
    called: 'contact of',
    inFull: (places) => `contact of the ${places === 1 ? 'plant' : 'plants'}`,
    hint: null,
  },
  'laboratory desk': {
    of: 'laboratory',
    sees: 'samples',
    speaksFor: 'laboratory',
    held: ({ laboratories }) => laboratories,
    called: 'at the desk of',
    inFull: (places) => `at the desk of the ${places === 1 ? 'laboratory' : 'laboratories'}`,
    hint: null,
  },
} satisfies Record<string, RoleRow>

export type RoleName = keyof typeof ROWS

/** Each role that a person can have, with its rights and its words. */
export const ROLES: Readonly<Record<RoleName, RoleRow>> = ROWS
export const ROLE_NAMES = Object.keys(ROWS) as RoleName[]

/** The roles that see samples: of all places, or of their own. */
export const SEES_SAMPLES = ROLE_NAMES.filter((role) => ROLES[role].sees === 'samples')
/** Of these, the roles that have plants: their own, or all. */
export const HAS_PLANTS = SEES_SAMPLES.filter((role) => ROLES[role].of !== 'laboratory')
/** Of these, the roles that have laboratories. */
export const HAS_LABORATORIES = SEES_SAMPLES.filter((role) => ROLES[role].of !== 'plant')
/** The roles that see figures over all plants. */
export const SEES_FIGURES = ROLE_NAMES.filter((role) => ROLES[role].of === null)
/** All of them as people are told of them: first those that see samples. */
export const TOLD_ROLES = [...SEES_SAMPLES, ...ROLE_NAMES.filter((role) => !SEES_SAMPLES.includes(role))]

/** The list of the register, and the field of `Roles`, that has the places of a kind. */
export const PLACE_LISTS = { plant: 'plants', laboratory: 'laboratories' } as const

/** One role, as it is stored and listed. `place` is the code of a plant or a laboratory, empty where it is over all. */
export interface Role {
  role: RoleName
  place: string
}

/** What a person is out of their single roles, places in the same order. A role that is not known counts for nothing. */
export function toRoles(list: readonly { role: string; place: string }[]): Roles {
  const places = (role: RoleName) => list.filter((one) => one.role === role).map(({ place }) => place)
  return {
    isAdministrator: places('administrator').length > 0,
    isReader: places('reader').length > 0,
    plants: places('plant contact'),
    laboratories: places('laboratory desk'),
  }
}

/** The single roles that a person has. */
export function listRoles(roles: Roles): Role[] {
  return ROLE_NAMES.flatMap((role) => ROLES[role].held(roles).map((place) => ({ role, place })))
}

/** Whether a person has a role, of one place or another. */
export function hasRole(roles: Roles, role: RoleName): boolean {
  return ROLES[role].held(roles).length > 0
}

/** Whether someone sees every sample, whichever of their roles lets them; what they may do is another matter. */
export function seesAll(roles: Roles): boolean {
  return ROLE_NAMES.some(
    (role) => ROLES[role].of === null && ROLES[role].sees === 'samples' && hasRole(roles, role),
  )
}

/** The plants, or laboratories, of which someone sees the samples by a role of that place. */
export function placesSeen(roles: Roles, kind: 'plant' | 'laboratory'): string[] {
  const seeing = SEES_SAMPLES.filter((role) => ROLES[role].of === kind)
  return seeing.flatMap((role) => ROLES[role].held(roles))
}

export const NO_ROLES = toRoles([])

/** Single roles in the order of their places. */
export function sortByPlace<T extends { place: string }>(list: readonly T[]): T[] {
  return [...list].sort((a, b) => (a.place < b.place ? -1 : a.place > b.place ? 1 : 0))
}
