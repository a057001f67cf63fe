import { toCanonical } from '@/lib/custody/kitCode'
import { type KitContent, pickupCode, type RegisterDocument } from '@/lib/custody/registerDocument'
import { CODE_MISSING, shutdownCode } from '@/lib/custody/testingEntries'
import { type EntryContent, REGISTER_LISTS, type RegisterList } from '@/lib/store/ledger/registerEntries'
import type { EditProblem } from '@/lib/store/register/changeRegister'
import type { FieldProblem, FormValues } from './formValues'
import { parseLaboratory, toLaboratoryValues } from './laboratoryForm'
import { parseProtocol, toProtocolValues } from './protocolForm'
import * as owed from './scheduleForms'
import * as simple from './simpleForms'

/** How the entries of one list go into a form and come out of it. */
export interface EntryFormat {
  /** One of them, with its article. */
  singular: string
  title: string
  /** The columns of its CSV, in order. */
  columns: readonly string[]
  toValues(parse: EntryContent): FormValues
  content(values: FormValues): { content: EntryContent; problems: FieldProblem[] }
}

/** A form of which every text makes some content; what is wrong with it the register's own rules say. */
function createFormat<T>(
  one: string,
  many: string,
  columns: readonly string[],
  values: (content: T) => FormValues,
  content: (values: FormValues) => EntryContent,
): EntryFormat {
  return {
    singular: one,
    title: many,
    columns,
    toValues: (entry) => values(entry as T),
    content: (from) => ({ content: content(from), problems: [] }),
  }
}

export const ENTRY_FORMS: Record<RegisterList, EntryFormat> = {
  laboratories: {
    singular: 'a laboratory',
    title: 'Laboratories',
    columns: ['code', 'name', 'zone', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun', 'closed', 'holidays'],
    toValues: (entry) => toLaboratoryValues(entry as RegisterDocument['laboratories'][number]),
    content: parseLaboratory,
  },
  plants: createFormat(
    'a plant',
    'Plants',
    ['code', 'name', 'maker', 'zone', 'workdays'],
    simple.toPlantValues,
    simple.parsePlant,
  ),
  services: createFormat(
    'a service',
    'Services',
    ['code', 'name'],
    simple.toServiceValues,
    simple.parseService,
  ),
  protocols: {
    singular: 'a protocol',
    title: 'Protocols',
    columns: ['code', 'name', 'tight', 'atRisk', 'limit', 'from', 'to', 'amount', 'counted', 'citation'],
    toValues: (entry) => toProtocolValues(entry as RegisterDocument['protocols'][number]),
    content: parseProtocol,
  },
  products: createFormat(
    'a product',
    'Products',
    ['code', 'name', 'plant', 'protocol'],
    simple.toProductValues,
    simple.parseProduct,
  ),
  pickups: createFormat(
    'the pickups of a service',
    'Pickups',
    ['plant', 'service', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'],
    simple.toPickupValues,
    simple.parsePickup,
  ),
  families: createFormat(
    'a family of products',
    'Families',
    ['code', 'name', 'members', 'tested'],
    owed.toFamilyValues,
    owed.parseFamily,
  ),
  certificates: createFormat(
    'a certificate',
    'Certificates',
    ['code', 'product', 'family', 'issued', 'expires'],
    owed.toCertificateValues,
    owed.parseCertificate,
  ),
  duties: createFormat(
    'a duty',
    'Duties',
    ['code', 'product', 'family', 'protocol', 'laboratory', 'service', 'first', ...owed.DUTY_COUNTS],
    owed.toDutyValues,
    owed.parseDuty,
  ),
  shutdowns: createFormat(
    'a shutdown',
    'Shutdowns',
    ['plant', 'from', 'to', 'reason'],
    owed.toShutdownValues,
    owed.parseShutdown,
  ),
  kits: {
    singular: 'a kit',
    title: 'Kits',
    columns: [
      'code',
      'plant',
      'product',
      'laboratory',
      'service',
      'purpose',
      'posted',
      'replaces',
      'issuedAt',
    ],
    toValues: (entry) => simple.toKitValues(entry as KitContent),
    content: (values) => ({ content: simple.parseKit(values), problems: simple.findPostedProblems(values) }),
  },
}

export function isRegisterList(text: string): text is RegisterList {
  return (REGISTER_LISTS as string[]).includes(text)
}

/** The code of the entry that a form or a row of a CSV is about; '' where it names none. */
export function getEntryCode(list: RegisterList, values: FormValues): string {
  const { code = '', plant = '', service = '', from = '' } = values
  if (list === 'kits') return toCanonical(code)
  if (list === 'shutdowns') return shutdownCode(plant, from)
  return list === 'pickups' ? pickupCode(plant, service) : code
}

/** An edited entry: what the form says, and whatever else the entry said before. */
export function mergeContent(known: EntryContent | undefined, content: EntryContent): EntryContent {
  return { ...known, ...content }
}

/** The field of a form that a problem of the register is about; '' where the form has none for it. */
export function getProblemField(list: RegisterList, { pointer }: EditProblem): string {
  const [, first = '', second, third] = pointer.split('/')
  // What an entry is known by is no field of its own where it is made of others.
  if (first === 'code' && list === 'shutdowns') return 'from'
  if (first === 'code' && list === 'pickups') return 'service'
  if (list === 'kits' && first === 'issuedAt') return ''
  if (list === 'laboratories' && first === 'receiving') return second ?? 'mon'
  if (list === 'pickups' && first === 'hours') return second ?? 'mon'
  if (list === 'protocols' && first === 'limits' && second !== undefined) {
    const field = third === 'name' || third === undefined ? 'limit' : third
    const isCounted = ['unit', 'counting', 'zone'].includes(field)
    return `${isCounted ? 'counted' : field}${Number(second) + 1}`
  }
  return first
}

/** What is wrong in words that fit the form: there codes are mostly chosen, and some entries have none to be seen. */
export function getProblemDetail(list: RegisterList, { pointer, detail }: EditProblem): string {
  const field = pointer.split('/')[1]
  if (field === 'code' && list === 'shutdowns')
    return 'A shutdown of this plant that begins on this day is there already; change that one.'
  if (field === 'code' && list === 'pickups')
    return 'The pickups of this service at this plant are there already; change those.'
  if (field !== 'code' && detail === CODE_MISSING) return 'Choose one.'
  return detail
}
