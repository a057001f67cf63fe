import { isEventKind } from '@/lib/custody/event'
import { findTextFault } from '@/lib/custody/storableText'
import { DAY, parseIsoDate } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { inferSides } from '@/lib/policy/mayReport'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { findRightsFault, type KeyRights } from '@/lib/store/people/keys'
import { getAppPool } from '@/lib/store/scope/sharedPool'

/** The fields of the form for a key, as they are sent. */
export interface KeyFields {
  name: string
  /** One per line. */
  sources: string
  /** `some`: only the ticked plants and laboratories. */
  reach: 'all' | 'some'
  plants: string[]
  laboratories: string[]
  /** `some`: only the ticked kinds. */
  reports: 'all' | 'some'
  kinds: string[]
  /** The last day on which the key works, in UTC, year-month-day; empty if it does not expire. */
  expires: string
  history: boolean
  register: boolean
  signs: boolean
}

export type KeyFaults = Partial<Record<keyof KeyFields, string>>

const MAX_LENGTH = 100

/** Reads the fields of a form that was sent, or of an empty one. */
export function parseKeyFields(sent: URLSearchParams): KeyFields {
  const text = (name: string) => (sent.get(name) ?? '').trim()
  const choice = (name: string) => (sent.get(name) === 'all' ? 'all' : 'some')
  return {
    name: text('name'),
    sources: text('sources'),
    reach: choice('reach'),
    plants: sent.getAll('plants'),
    laboratories: sent.getAll('laboratories'),
    reports: choice('reports'),
    kinds: sent.getAll('kinds'),
    expires: text('expires'),
    history: sent.has('history'),
    register: sent.has('register'),
    signs: sent.has('signs'),
  }
}

/** The query string that carries the fields back to the form. */
export function formatKeyQuery(fields: KeyFields): string {
  const pairs = Object.entries(fields).flatMap(([name, value]) => {
    if (Array.isArray(value)) return value.map((one) => [name, one])
    return value === false || value === '' ? [] : [[name, value === true ? 'yes' : value]]
  })
  return new URLSearchParams([['sent', 'yes'], ...pairs]).toString()
}

/** The rights that the fields ask for at `now` (ms UTC), or a sentence for each field that cannot be used. */
export function parseKeyRights(
  t: Translate,
  fields: KeyFields,
  known: { plants: ReadonlySet<string>; laboratories: ReadonlySet<string> },
  now: number,
): { rights: KeyRights; faults: null } | { rights: null; faults: KeyFaults } {
  const faults: KeyFaults = {}
  const isReachLimited = fields.reach === 'some'
  const expiresAt = parseExpiry(fields.expires, now)
  const rights: KeyRights = {
    name: fields.name,
    sources: [...new Set(fields.sources.split(/\r?\n/).map((line) => line.trim()))].filter(Boolean),
    plants: isReachLimited ? fields.plants : null,
    laboratories: isReachLimited ? fields.laboratories : null,
    sides: inferSides(isReachLimited ? fields.plants : [], isReachLimited ? fields.laboratories : []),
    kinds: fields.reports === 'some' ? fields.kinds : null,
    mayImportHistory: fields.history,
    maySetRegister: fields.register,
    mustSign: fields.signs,
    expiresAt: expiresAt === 'wrong' ? null : expiresAt,
  }
  const fault = findRightsFault(rights)
  if (fault) faults[FIELD_BY_RIGHT[fault.field] ?? 'name'] = t.message(fault.detail)
  if (isTooLong(fields.name)) faults.name = t('keys.fault.longName', { max: MAX_LENGTH })
  if (rights.sources.some(isTooLong)) faults.sources = t('keys.fault.longSource', { max: MAX_LENGTH })
  if (isReachLimited && fields.plants.length + fields.laboratories.length === 0)
    faults.reach = t('keys.fault.noPlace')
  if (!fields.plants.every((code) => known.plants.has(code))) faults.reach = t('keys.fault.unknownPlant')
  if (!fields.laboratories.every((code) => known.laboratories.has(code)))
    faults.reach = t('keys.fault.unknownLaboratory')
  if (fields.reports === 'some' && fields.kinds.length === 0) faults.reports = t('keys.fault.noKind')
  if (!fields.kinds.every(isEventKind)) faults.reports = t('keys.fault.unknownKind')
  if (expiresAt === 'wrong') faults.expires = t('keys.fault.pastDay')
  return Object.keys(faults).length === 0 ? { rights, faults: null } : { rights: null, faults }
}

const FIELD_BY_RIGHT: Partial<Record<keyof KeyRights, keyof KeyFields>> = {
  name: 'name',
  sources: 'sources',
  maySetRegister: 'register',
}

function isTooLong(text: string): boolean {
  return text.length > MAX_LENGTH || findTextFault(text) !== undefined
}

function parseExpiry(text: string, now: number): number | null | 'wrong' {
  if (text === '') return null
  const day = parseIsoDate(text)
  const endsAt = day === undefined ? Number.NaN : (day + 1) * DAY
  return endsAt > now ? endsAt : 'wrong'
}

/** A plant or laboratory that a key can be limited to. */
export interface KeyPlace {
  code: string
  name: string
}

/** The plants and laboratories of the register, sorted by name. Only administrators may see all of them. */
export async function readKeyPlaces(): Promise<{ plants: KeyPlace[]; laboratories: KeyPlace[] }> {
  const { plants, laboratories } = await readRegisterDocument(getAppPool())
  const byName = (places: readonly KeyPlace[]) =>
    places.map(({ code, name }) => ({ code, name })).sort((a, b) => a.name.localeCompare(b.name, 'en'))
  return { plants: byName(plants), laboratories: byName(laboratories) }
}
