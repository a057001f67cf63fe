import { isEventKind } from '@/lib/custody/event'
import { findTextFault } from '@/lib/custody/storableText'
import { DAY, parseIsoDate } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { findRightsFault, type KeyRights } from '@/lib/store/people/keys'
import { getAppPool } from '@/lib/store/scope/sharedPool'

/** The form for a key, as its fields are sent. */
export interface KeyFields {
  name: string
  /** One a line. */
  sources: string
  /** "some": only of the ticked plants and laboratories. */
  reach: 'all' | 'some'
  plants: string[]
  laboratories: string[]
  /** "some": only the ticked kinds. */
  reports: 'all' | 'some'
  kinds: string[]
  /** The last day on which it works, of UTC; empty: it does not expire. */
  expires: string
  history: boolean
  register: boolean
  signs: boolean
}

export type KeyFaults = Partial<Record<keyof KeyFields, string>>

const MAX_LENGTH = 100

/** The fields of a form as they were sent, or those of an empty one. */
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

/** The address part that carries the fields back to the form. */
export function formatKeyQuery(fields: KeyFields): string {
  const pairs = Object.entries(fields).flatMap(([name, value]) => {
    if (Array.isArray(value)) return value.map((one) => [name, one])
    return value === false || value === '' ? [] : [[name, value === true ? 'yes' : value]]
  })
  return new URLSearchParams([['sent', 'yes'], ...pairs]).toString()
}

/** What the fields ask for at `now` (ms UTC), or a sentence for each that cannot be used. */
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
    kinds: fields.reports === 'some' ? fields.kinds : null,
    mayImportHistory: fields.history,
    maySetRegister: fields.register,
    mustSign: fields.signs,
    expiresAt: expiresAt === 'wrong' ? null : expiresAt,
  }
  const fault = findRightsFault(rights)
  if (fault) faults[FIELD_BY_RIGHT[fault.field] ?? 'name'] = fault.detail
  if (isTooLong(fields.name)) faults.name = `Write the name in ${MAX_LENGTH} characters at most, on one line.`
  if (rights.sources.some(isTooLong))
    faults.sources = `Write each source in ${MAX_LENGTH} characters at most.`
  if (isReachLimited && fields.plants.length + fields.laboratories.length === 0)
    faults.reach = 'Tick at least one plant or laboratory, or choose every sample.'
  if (!fields.plants.every((code) => known.plants.has(code)))
    faults.reach = 'A ticked plant is no longer in the register. Choose again.'
  if (!fields.laboratories.every((code) => known.laboratories.has(code)))
    faults.reach = 'A ticked laboratory is no longer in the register. Choose again.'
  if (fields.reports === 'some' && fields.kinds.length === 0)
    faults.reports = 'Tick at least one kind, or choose every kind.'
  if (!fields.kinds.every(isEventKind)) faults.reports = 'A ticked kind is not a kind of event. Choose again.'
  if (expiresAt === 'wrong')
    faults.expires = 'Write a day that is still to end, as year-month-day, or leave it empty.'
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

/** The plants and laboratories of the register, by name. For administrators only. */
export async function readKeyPlaces(): Promise<{ plants: KeyPlace[]; laboratories: KeyPlace[] }> {
  const { plants, laboratories } = await readRegisterDocument(getAppPool())
  const byName = (places: readonly KeyPlace[]) =>
    places.map(({ code, name }) => ({ code, name })).sort((a, b) => a.name.localeCompare(b.name, 'en'))
  return { plants: byName(plants), laboratories: byName(laboratories) }
}
