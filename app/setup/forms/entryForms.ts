import { toCanonical } from '@/lib/custody/kitCode'
import { type KitContent, pickupCode, type RegisterDocument } from '@/lib/custody/registerDocument'
import { CODE_MISSING, shutdownCode } from '@/lib/custody/testingEntries'
import { type Message, type MessageKey, message } from '@/lib/messages/message'
import { type EntryContent, REGISTER_LISTS, type RegisterList } from '@/lib/store/ledger/registerEntries'
import type { EditProblem } from '@/lib/store/register/changeRegister'
import { CONDITION_RULE_FIELDS } from './conditionRulesForm'
import type { FieldProblem, FormValues } from './formValues'
import { parseLaboratory, toLaboratoryValues } from './laboratoryForm'
import { LIMIT_FIELDS, parseProtocol, toProtocolValues } from './protocolForm'
import * as schedule from './scheduleForms'
import * as simple from './simpleForms'

/** How the entries of one list are filled into a form or a CSV row, and read from it. */
export interface EntryFormat {
  /** The kind of entry, as the ledger calls it. */
  kind: string
  title: Extract<MessageKey, `setup.${RegisterList}.title`>
  addTitle: Extract<MessageKey, `setup.${RegisterList}.add`>
  /** Names one entry; takes its code. */
  entryTitle: Extract<MessageKey, `setup.entry.${string}`>
  csvTitle: Extract<MessageKey, `setup.csv.${RegisterList}Title`>
  /** How to write the CSV of this list. */
  csvNote?: Extract<MessageKey, `setup.csv.${RegisterList}`>
  /** The columns of its CSV, in order. */
  columns: readonly string[]
  toValues(content: EntryContent): FormValues
  parse(values: FormValues): { content: EntryContent; problems: FieldProblem[] }
}

/** A form that cannot be misread: only the register's own rules find it wrong. */
function plain<T>(
  toValues: (content: T) => FormValues,
  parse: (values: FormValues) => EntryContent,
): Pick<EntryFormat, 'toValues' | 'parse'> {
  return {
    toValues: (entry) => toValues(entry as T),
    parse: (values) => ({ content: parse(values), problems: [] }),
  }
}

const WEEKDAY_COLUMNS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun']

export const ENTRY_FORMS: Record<RegisterList, EntryFormat> = {
  laboratories: {
    title: 'setup.laboratories.title',
    addTitle: 'setup.laboratories.add',
    kind: 'laboratory',
    entryTitle: 'setup.entry.laboratory',
    csvTitle: 'setup.csv.laboratoriesTitle',
    csvNote: 'setup.csv.laboratories',
    columns: ['code', 'name', 'zone', ...WEEKDAY_COLUMNS, 'closed', 'holidays'],
    toValues: (entry) => toLaboratoryValues(entry as RegisterDocument['laboratories'][number]),
    parse: parseLaboratory,
  },
  plants: {
    title: 'setup.plants.title',
    addTitle: 'setup.plants.add',
    kind: 'plant',
    entryTitle: 'setup.entry.plant',
    csvTitle: 'setup.csv.plantsTitle',
    csvNote: 'setup.csv.plants',
    columns: ['code', 'name', 'maker', 'zone', 'workdays'],
    ...plain(simple.toPlantValues, simple.parsePlant),
  },
  services: {
    title: 'setup.services.title',
    addTitle: 'setup.services.add',
    kind: 'service',
    entryTitle: 'setup.entry.service',
    csvTitle: 'setup.csv.servicesTitle',
    columns: ['code', 'name'],
    ...plain(simple.toServiceValues, simple.parseService),
  },
  protocols: {
    title: 'setup.protocols.title',
    addTitle: 'setup.protocols.add',
    kind: 'protocol',
    entryTitle: 'setup.entry.protocol',
    csvTitle: 'setup.csv.protocolsTitle',
    csvNote: 'setup.csv.protocols',
    columns: ['code', 'name', 'tight', 'atRisk', ...CONDITION_RULE_FIELDS, ...LIMIT_FIELDS],
    toValues: (entry) => toProtocolValues(entry as RegisterDocument['protocols'][number]),
    parse: parseProtocol,
  },
  products: {
    title: 'setup.products.title',
    addTitle: 'setup.products.add',
    kind: 'product',
    entryTitle: 'setup.entry.product',
    csvTitle: 'setup.csv.productsTitle',
    columns: ['code', 'name', 'plant', 'protocol'],
    ...plain(simple.toProductValues, simple.parseProduct),
  },
  pickups: {
    title: 'setup.pickups.title',
    addTitle: 'setup.pickups.add',
    kind: 'pickup',
    entryTitle: 'setup.entry.pickups',
    csvTitle: 'setup.csv.pickupsTitle',
    csvNote: 'setup.csv.pickups',
    columns: ['plant', 'service', ...WEEKDAY_COLUMNS],
    ...plain(simple.toPickupValues, simple.parsePickup),
  },
  families: {
    title: 'setup.families.title',
    addTitle: 'setup.families.add',
    kind: 'family',
    entryTitle: 'setup.entry.family',
    csvTitle: 'setup.csv.familiesTitle',
    csvNote: 'setup.csv.families',
    columns: ['code', 'name', 'members', 'tested'],
    ...plain(schedule.toFamilyValues, schedule.parseFamily),
  },
  certificates: {
    title: 'setup.certificates.title',
    addTitle: 'setup.certificates.add',
    kind: 'certificate',
    entryTitle: 'setup.entry.certificate',
    csvTitle: 'setup.csv.certificatesTitle',
    csvNote: 'setup.csv.certificates',
    columns: ['code', 'product', 'family', 'issued', 'expires'],
    ...plain(schedule.toCertificateValues, schedule.parseCertificate),
  },
  duties: {
    title: 'setup.duties.title',
    addTitle: 'setup.duties.add',
    kind: 'duty',
    entryTitle: 'setup.entry.duty',
    csvTitle: 'setup.csv.dutiesTitle',
    csvNote: 'setup.csv.duties',
    columns: [
      'code',
      'product',
      'family',
      'protocol',
      'laboratory',
      'service',
      'first',
      ...schedule.DUTY_COUNTS,
    ],
    ...plain(schedule.toDutyValues, schedule.parseDuty),
  },
  shutdowns: {
    title: 'setup.shutdowns.title',
    addTitle: 'setup.shutdowns.add',
    kind: 'shutdown',
    entryTitle: 'setup.entry.shutdown',
    csvTitle: 'setup.csv.shutdownsTitle',
    csvNote: 'setup.csv.shutdowns',
    columns: ['plant', 'from', 'to', 'reason'],
    ...plain(schedule.toShutdownValues, schedule.parseShutdown),
  },
  kits: {
    title: 'setup.kits.title',
    addTitle: 'setup.kits.add',
    kind: 'kit',
    entryTitle: 'setup.entry.kit',
    csvTitle: 'setup.csv.kitsTitle',
    csvNote: 'setup.csv.kits',
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
    parse: (values) => ({ content: simple.parseKit(values), problems: simple.findPostedProblems(values) }),
  },
}

export function isRegisterList(text: string): text is RegisterList {
  return (REGISTER_LISTS as string[]).includes(text)
}

/** The code of the entry that a form or a CSV row names; '' if none. */
export function getEntryCode(list: RegisterList, values: FormValues): string {
  const { code = '', plant = '', service = '', from = '' } = values
  if (list === 'kits') return toCanonical(code)
  if (list === 'shutdowns') return shutdownCode(plant, from)
  return list === 'pickups' ? pickupCode(plant, service) : code
}

/** Keeps what the form has no field for. */
export function mergeContent(known: EntryContent | undefined, content: EntryContent): EntryContent {
  return { ...known, ...content }
}

/** The form field that a problem of the register is about; '' if there is none. */
export function getProblemField(list: RegisterList, { pointer }: EditProblem): string {
  const [, first = '', second, third] = pointer.split('/')
  // These codes are made of other fields.
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

/** What is wrong, in words that fit the form: most codes are chosen there, and some entries show none. */
export function getProblemDetail(list: RegisterList, { pointer, detail }: EditProblem): Message {
  const field = pointer.split('/')[1]
  if (field === 'code' && list === 'shutdowns') return message('setup.fault.shutdownExists')
  if (field === 'code' && list === 'pickups') return message('setup.fault.pickupsExist')
  if (field !== 'code' && detail.key === CODE_MISSING.key) return message('setup.fault.choose')
  return detail
}
