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
  placeKind: 'plant' | 'laboratory' | null
  /** The samples of its place or of all; or only figures over all plants, with none named. */
  sees: 'samples' | 'figures'
  /** The side whose events it may report; null: none. */
  side: Exclude<Side, 'carrier'> | null
  /** The places of which someone has it; one without a name where it is over all. */
  getPlaces(roles: Roles): readonly string[]
  /** In a list of people; goes on with the codes of its places. */
  label: string
  /** What is said of it where it is given, besides its name. */
  hint: string | null
}

const EVERYWHERE = ['']

const ROLE_ROWS = {
  administrator: {
    placeKind: null,
    sees: 'samples',
    side: 'programme',
    getPlaces: ({ isAdministrator }) => (isAdministrator ? EVERYWHERE : []),
    label: 'administrator',
    hint: 'all of it',
  },
  reader: {
    placeKind: null,
    sees: 'figures',
    side: null,
    getPlaces: ({ isReader }) => (isReader ? EVERYWHERE : []),
    label: 'reader',
    hint: 'figures over all plants, none named',
  },
  'plant contact': {
    placeKind: 'plant',
    sees: 'samples',
    side: 'plant',
    getPlaces: ({ plants }) => plants,
    label: 'contact of',
    hint: null,
  },
  'laboratory desk': {
    placeKind: 'laboratory',
    sees: 'samples',
    side: 'laboratory',
    getPlaces: ({ laboratories }) => laboratories,
    label: 'at the desk of',
    hint: null,
  },
} satisfies Record<string, RoleRow>

export type RoleName = keyof typeof ROLE_ROWS

/** Each role that a person can have, with its rights and its words. */
export const ROLES: Readonly<Record<RoleName, RoleRow>> = ROLE_ROWS
export const ROLE_NAMES = Object.keys(ROLE_ROWS) as RoleName[]

/** The roles that see samples: of all places, or of their own. */
export const SAMPLE_ROLES = ROLE_NAMES.filter((role) => ROLES[role].sees === 'samples')
/** Of these, the roles that have plants: their own, or all. */
export const PLANT_ROLES = SAMPLE_ROLES.filter((role) => ROLES[role].placeKind !== 'laboratory')
/** Of these, the roles that have laboratories. */
export const LABORATORY_ROLES = SAMPLE_ROLES.filter((role) => ROLES[role].placeKind !== 'plant')
/** The roles that see figures over all plants. */
export const FIGURE_ROLES = ROLE_NAMES.filter((role) => ROLES[role].placeKind === null)
/** All of them as people are told of them: first those that see samples. */
export const LISTED_ROLES = [...SAMPLE_ROLES, ...ROLE_NAMES.filter((role) => !SAMPLE_ROLES.includes(role))]

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
  return ROLE_NAMES.flatMap((role) => ROLES[role].getPlaces(roles).map((place) => ({ role, place })))
}

/** Whether a person has a role, of one place or another. */
export function hasRole(roles: Roles, role: RoleName): boolean {
  return ROLES[role].getPlaces(roles).length > 0
}

/** Whether someone sees every sample, whichever of their roles lets them; what they may do is another matter. */
export function seesAll(roles: Roles): boolean {
  return ROLE_NAMES.some(
    (role) => ROLES[role].placeKind === null && ROLES[role].sees === 'samples' && hasRole(roles, role),
  )
}

/** The plants, or laboratories, of which someone sees the samples by a role of that place. */
export function listVisiblePlaces(roles: Roles, kind: 'plant' | 'laboratory'): string[] {
  const seeing = SAMPLE_ROLES.filter((role) => ROLES[role].placeKind === kind)
  return seeing.flatMap((role) => ROLES[role].getPlaces(roles))
}

export const NO_ROLES = toRoles([])

/** Single roles in the order of their places. */
export function sortByPlace<T extends { place: string }>(list: readonly T[]): T[] {
  return [...list].sort((a, b) => (a.place < b.place ? -1 : a.place > b.place ? 1 : 0))
}
