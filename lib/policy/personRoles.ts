import type { Side } from '@/lib/custody/eventKinds'

/** The roles of a person; places by their codes. */
export interface Roles {
  isAdministrator: boolean
  isReader: boolean
  /** The plants whose contact the person is. */
  plants: readonly string[]
  /** The laboratories at whose desk the person works. */
  laboratories: readonly string[]
}

interface RoleRow {
  /** The kind of place it is held at; null if it covers the whole programme. */
  placeKind: 'plant' | 'laboratory' | null
  /** What it shows: the samples of its place (of all places without one), or only figures that name no plant. */
  sees: 'samples' | 'figures'
  /** The side whose events it may report; null if it reports none. */
  side: Exclude<Side, 'carrier'> | null
  /** The places at which someone holds it; `EVERYWHERE` without a kind of place, empty if they do not hold it. */
  getPlaces(roles: Roles): readonly string[]
}

const EVERYWHERE = ['']

const ROLE_ROWS = {
  administrator: {
    placeKind: null,
    sees: 'samples',
    side: 'programme',
    getPlaces: ({ isAdministrator }) => (isAdministrator ? EVERYWHERE : []),
  },
  reader: {
    placeKind: null,
    sees: 'figures',
    side: null,
    getPlaces: ({ isReader }) => (isReader ? EVERYWHERE : []),
  },
  'plant contact': {
    placeKind: 'plant',
    sees: 'samples',
    side: 'plant',
    getPlaces: ({ plants }) => plants,
  },
  'laboratory desk': {
    placeKind: 'laboratory',
    sees: 'samples',
    side: 'laboratory',
    getPlaces: ({ laboratories }) => laboratories,
  },
} satisfies Record<string, RoleRow>

export type RoleName = keyof typeof ROLE_ROWS

/** Every role, with its rights and its names. */
export const ROLES: Readonly<Record<RoleName, RoleRow>> = ROLE_ROWS
export const ROLE_NAMES = Object.keys(ROLE_ROWS) as RoleName[]

/** Roles that see samples, of all places or of their own. */
export const SAMPLE_ROLES = ROLE_NAMES.filter((role) => ROLES[role].sees === 'samples')
/** Roles that see samples and have plants, their own or all. */
export const PLANT_ROLES = SAMPLE_ROLES.filter((role) => ROLES[role].placeKind !== 'laboratory')
/** Roles that see samples and have laboratories, their own or all. */
export const LABORATORY_ROLES = SAMPLE_ROLES.filter((role) => ROLES[role].placeKind !== 'plant')
/** Roles that see figures over all plants. */
export const FIGURE_ROLES = ROLE_NAMES.filter((role) => ROLES[role].placeKind === null)
/** All roles in the order in which they are listed to people: first those that see samples. */
export const LISTED_ROLES = [...SAMPLE_ROLES, ...ROLE_NAMES.filter((role) => !SAMPLE_ROLES.includes(role))]

/** The register's list of each kind of place; `Roles` has a field of the same name. */
export const PLACE_LISTS = { plant: 'plants', laboratory: 'laboratories' } as const

/** One role as it is stored. `place` is the code of a plant or a laboratory, empty if it covers all. */
export interface Role {
  role: RoleName
  place: string
}

/** Reads stored roles and keeps the order of places. Unknown roles are ignored. */
export function toRoles(list: readonly { role: string; place: string }[]): Roles {
  const places = (role: RoleName) => list.filter((one) => one.role === role).map(({ place }) => place)
  return {
    isAdministrator: places('administrator').length > 0,
    isReader: places('reader').length > 0,
    plants: places('plant contact'),
    laboratories: places('laboratory desk'),
  }
}

/** The same roles one by one, as they are stored. */
export function listRoles(roles: Roles): Role[] {
  return ROLE_NAMES.flatMap((role) => ROLES[role].getPlaces(roles).map((place) => ({ role, place })))
}

/** Whether a person has this role, at any place. */
export function hasRole(roles: Roles, role: RoleName): boolean {
  return ROLES[role].getPlaces(roles).length > 0
}

/** Whether any of someone's roles shows every sample. It says nothing of what they may do. */
export function seesAll(roles: Roles): boolean {
  return ROLE_NAMES.some(
    (role) => ROLES[role].placeKind === null && ROLES[role].sees === 'samples' && hasRole(roles, role),
  )
}

/** The plants (or laboratories) whose samples someone sees through a role at that place. */
export function listVisiblePlaces(roles: Roles, kind: 'plant' | 'laboratory'): string[] {
  const seeing = SAMPLE_ROLES.filter((role) => ROLES[role].placeKind === kind)
  return seeing.flatMap((role) => ROLES[role].getPlaces(roles))
}

export const NO_ROLES = toRoles([])

/** Roles in the order of their places. */
export function sortByPlace<T extends { place: string }>(list: readonly T[]): T[] {
  return [...list].sort((a, b) => (a.place < b.place ? -1 : a.place > b.place ? 1 : 0))
}
