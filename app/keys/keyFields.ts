import { isEventKind } from '@/lib/custody/event'
import { SIDES, type Side } from '@/lib/custody/eventKinds'
import { findTextFault } from '@/lib/custody/storableText'
import { DAY, parseIsoDate } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { findRightsFault, type KeyFault, type KeyRights } from '@/lib/policy/keyRights'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'

/** The fields of the form for a key, as they are sent. */
export interface KeyFields {
  name: string
  /** One per line. */
  sources: string
  /** For whom the key speaks; empty if nothing is chosen. */
  side: Side | ''
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

/** The codes of the places in the register. */
export interface KnownPlaces {
  plants: ReadonlySet<string>
  laboratories: ReadonlySet<string>
}

export type KeyFaults = Partial<Record<keyof KeyFields, string>>

const MAX_LENGTH = 100

/** Reads the fields of a form that was sent, or of an empty one. */
export function parseKeyFields(sent: URLSearchParams): KeyFields {
  const text = (name: string) => (sent.get(name) ?? '').trim()
  return {
    name: text('name'),
    sources: text('sources'),
    side: SIDES.find((side) => side === sent.get('side')) ?? '',
    plants: sent.getAll('plants'),
    laboratories: sent.getAll('laboratories'),
    reports: sent.get('reports') === 'some' ? 'some' : 'all',
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
  known: KnownPlaces,
  now: number,
): { rights: KeyRights; faults: null } | { rights: null; faults: KeyFaults } {
  const faults: KeyFaults = {}
  const expiresAt = parseExpiry(fields.expires, now)
  const rights: KeyRights = {
    name: fields.name,
    sources: [...new Set(fields.sources.split(/\r?\n/).map((line) => line.trim()))].filter(Boolean),
    sides: fields.side === '' ? [] : [fields.side],
    plants: toPlaces(fields.plants),
    laboratories: toPlaces(fields.laboratories),
    kinds: fields.reports === 'some' ? fields.kinds : null,
    mayImportHistory: fields.history,
    maySetRegister: fields.register,
    mustSign: fields.signs,
    expiresAt: expiresAt === 'wrong' ? null : expiresAt,
  }
  const fault = findRightsFault(rights)
  if (fault) Object.assign(faults, toFieldFault(t, fault))
  if (isTooLong(fields.name)) faults.name = t('keys.fault.longName', { max: MAX_LENGTH })
  if (rights.sources.some(isTooLong)) faults.sources = t('keys.fault.longSource', { max: MAX_LENGTH })
  if (fields.side === '') faults.side = t('keys.fault.noSide')
  if (!fields.plants.every((code) => known.plants.has(code))) faults.side = t('keys.fault.unknownPlant')
  if (!fields.laboratories.every((code) => known.laboratories.has(code)))
    faults.side = t('keys.fault.unknownLaboratory')
  if (fields.reports === 'some' && fields.kinds.length === 0) faults.reports = t('keys.fault.noKind')
  if (fields.reports === 'all' && fields.kinds.length > 0) faults.reports = t('keys.fault.kindsTicked')
  if (!fields.kinds.every(isEventKind)) faults.reports = t('keys.fault.unknownKind')
  if (expiresAt === 'wrong') faults.expires = t('keys.fault.pastDay')
  return Object.keys(faults).length === 0 ? { rights, faults: null } : { rights: null, faults }
}

/** A fault of the rights, at the field that asks for them. */
export function toFieldFault(t: Translate, { field, detail }: KeyFault): KeyFaults {
  return { [FIELD_BY_RIGHT[field] ?? 'name']: t.message(detail) }
}

const FIELD_BY_RIGHT: Partial<Record<keyof KeyRights, keyof KeyFields>> = {
  name: 'name',
  sources: 'sources',
  sides: 'side',
  plants: 'side',
  laboratories: 'side',
  maySetRegister: 'register',
}

/** The ticked places; null if none is, as a key without places of a kind has it. */
function toPlaces(ticked: readonly string[]): readonly string[] | null {
  return ticked.length > 0 ? ticked : null
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

/** A plant or laboratory for which a key can speak. */
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
