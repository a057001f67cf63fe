import { canonical } from '@/lib/custody/kitCode'
import { NO_CODE, shutdownCode } from '@/lib/custody/owedContents'
import { type KitContent, pickupCode, type RegisterDocument } from '@/lib/custody/registerDocument'
import { type EntryContent, REGISTER_LISTS, type RegisterList } from '@/lib/store/ledger/registerEntries'
import type { EditProblem } from '@/lib/store/register/changeRegister'
import type { FieldProblem, FormValues } from './formValues'
import { laboratoryContent, laboratoryValues } from './laboratoryForm'
import * as owed from './owedForms'
import { protocolContent, protocolValues } from './protocolForm'
import * as simple from './simpleForms'

/** How the entries of one list go into a form and come out of it. */
export interface EntryForm {
  /** One of them, with its article. */
  one: string
  many: string
  /** The columns of its CSV, in order. */
  columns: readonly string[]
  values(content: EntryContent): FormValues
  content(values: FormValues): { content: EntryContent; problems: FieldProblem[] }
}

/** A form of which every text makes some content; what is wrong with it the register's own rules say. */
function plain<T>(
  one: string,
  many: string,
  columns: readonly string[],
  values: (content: T) => FormValues,
  content: (values: FormValues) => EntryContent,
): EntryForm {
  return {
    one,
    many,
    columns,
    values: (entry) => values(entry as T),
    content: (from) => ({ content: content(from), problems: [] }),
  }
}

export const ENTRY_FORMS: Record<RegisterList, EntryForm> = {
  laboratories: {
    one: 'a laboratory',
    many: 'Laboratories',
    columns: ['code', 'name', 'zone', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun', 'closed', 'holidays'],
    values: (entry) => laboratoryValues(entry as RegisterDocument['laboratories'][number]),
    content: laboratoryContent,
  },
  plants: plain(
    'a plant',
    'Plants',
    ['code', 'name', 'maker', 'zone', 'workdays'],
    simple.plantValues,
    simple.plantContent,
  ),
  services: plain('a service', 'Services', ['code', 'name'], simple.serviceValues, simple.serviceContent),
  protocols: {
    one: 'a protocol',
    many: 'Protocols',
    columns: ['code', 'name', 'tight', 'atRisk', 'limit', 'from', 'to', 'amount', 'counted', 'citation'],
    values: (entry) => protocolValues(entry as RegisterDocument['protocols'][number]),
    content: protocolContent,
  },
  products: plain(
    'a product',
    'Products',
    ['code', 'name', 'plant', 'protocol'],
    simple.productValues,
    simple.productContent,
  ),
  pickups: plain(
    'the pickups of a service',
    'Pickups',
    ['plant', 'service', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'],
    simple.pickupValues,
    simple.pickupContent,
  ),
  families: plain(
    'a family of products',
    'Families',
    ['code', 'name', 'members', 'tested'],
    owed.familyValues,
    owed.familyContent,
  ),
  certificates: plain(
    'a certificate',
    'Certificates',
    ['code', 'product', 'family', 'issued', 'expires'],
    owed.certificateValues,
    owed.certificateContent,
  ),
  duties: plain(
    'a duty',
    'Duties',
    ['code', 'product', 'family', 'protocol', 'laboratory', 'service', 'first', ...owed.DUTY_COUNTS],
    owed.dutyValues,
    owed.dutyContent,
  ),
  shutdowns: plain(
    'a shutdown',
    'Shutdowns',
    ['plant', 'from', 'to', 'reason'],
    owed.shutdownValues,
    owed.shutdownContent,
  ),
  kits: {
    one: 'a kit',
    many: 'Kits',
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
    values: (entry) => simple.kitValues(entry as KitContent),
    content: (values) => ({ content: simple.kitContent(values), problems: simple.postedProblems(values) }),
  },
}

export function isRegisterList(text: string): text is RegisterList {
  return (REGISTER_LISTS as string[]).includes(text)
}

/** The code of the entry that a form or a row of a CSV is about; '' where it names none. */
export function codeIn(list: RegisterList, values: FormValues): string {
  const { code = '', plant = '', service = '', from = '' } = values
  if (list === 'kits') return canonical(code)
  if (list === 'shutdowns') return shutdownCode(plant, from)
  return list === 'pickups' ? pickupCode(plant, service) : code
}

/** An edited entry: what the form says, and whatever else the entry said before. */
export function mergedContent(known: EntryContent | undefined, content: EntryContent): EntryContent {
  return { ...known, ...content }
}

/** The field of a form that a problem of the register is about; '' where the form has none for it. */
export function fieldOf(list: RegisterList, { pointer }: EditProblem): string {
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
export function detailOf(list: RegisterList, { pointer, detail }: EditProblem): string {
  const field = pointer.split('/')[1]
  if (field === 'code' && list === 'shutdowns')
    return 'A shutdown of this plant that begins on this day is there already; change that one.'
  if (field === 'code' && list === 'pickups')
    return 'The pickups of this service at this plant are there already; change those.'
  if (field !== 'code' && detail === NO_CODE) return 'Choose one.'
  return detail
}
