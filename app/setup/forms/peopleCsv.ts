import type { PeopleList, PersonFault, PersonRow } from '@/lib/access/people/planPeople'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import { readCsvRows } from '@/lib/intake/formats/csvRows'
import { ITEM_LIMITS, quote } from '@/lib/intake/formats/limits'
import { parseSafeCell } from '@/lib/intake/formats/safeCsv'
import { type Message, message } from '@/lib/messages/message'
import { isEmail, normalizeEmail } from '@/lib/policy/email'
import { listRoles, type Role, sortByPlace, toRoles } from '@/lib/policy/personRoles'
import type { ListedPerson } from '@/lib/store/people/people'
import { findPlaceZone, parseRole } from './personForm'
import { UnusableCsv } from './unusableCsv'

/** One row per person and role. */
export const PEOPLE_COLUMNS = ['email', 'name', 'zone', 'role', 'place', 'left'] as const
type Column = (typeof PEOPLE_COLUMNS)[number]
type Row = Partial<Record<Column, string>>

const MAX_PEOPLE = 5_000
/** A line is a role, and few people have more than one. */
const MAX_LINES = 20_000

const MAX_NAME_LENGTH = 200

interface Draft {
  line: number
  email: string
  name?: string
  zone?: string
  left?: string
  roles: Role[]
}

/**
 * Reads a CSV whose header has some of the columns. The rows of one address together give all roles of that person; a
 * missing column or an empty cell changes nothing. If one line of a person is refused, the person is left out.
 * Throws UnusableCsv if the header is wrong or the list is too long.
 */
export function parsePeopleCsv(text: string, register: RegisterDocument): PeopleList {
  const drafts = new Map<string, Draft>()
  const faults: PersonFault[] = []
  const faulty = new Set<string>()
  let unknownLine: number | null = null
  let header: Column[] | undefined
  let rows = 0
  for (const { line, cells, fault } of readCsvRows(text.replace(/^\ufeff/, ''), ITEM_LIMITS)) {
    rows += 1
    if (rows > MAX_LINES + 1) throw new UnusableCsv(message('setup.fault.manyLines', { max: MAX_LINES }))
    if (!header) {
      if (fault !== null) throw new UnusableCsv(message('setup.fault.headerLine', { line, fault }))
      header = parseHeader(cells)
      continue
    }
    const row: Row = {}
    header.forEach((name, index) => {
      row[name] = parseSafeCell((cells[index] ?? '').trim()).trim()
    })
    const email = normalizeEmail(row.email ?? '')
    const detail = fault === null ? addLine(line, cells.length, header, email, row) : fault
    if (detail === null) continue
    faults.push({ line, detail })
    if (isEmail(email)) faulty.add(email)
    else unknownLine ??= line
  }
  if (!header) throw new UnusableCsv(message('setup.fault.noHeader', { columns: PEOPLE_COLUMNS.join(',') }))
  const hasRoleColumn = header.includes('role')
  const people = [...drafts.values()]
    .filter(({ email }) => !faulty.has(email))
    .map((draft) => toWrittenPerson(draft, hasRoleColumn, register))
  return { people, faults, unknownLine }

  function addLine(line: number, count: number, columns: Column[], email: string, row: Row): Message | null {
    if (count !== columns.length)
      return message('setup.fault.cellCount', { cells: count, columns: columns.length })
    if (!isEmail(email)) return message('setup.fault.emailCell')
    const draft = drafts.get(email) ?? { line, email, roles: [] }
    if (!drafts.has(email) && drafts.size === MAX_PEOPLE)
      throw new UnusableCsv(message('setup.fault.manyPeople', { max: MAX_PEOPLE }))
    drafts.set(email, draft)
    return mergeRow(draft, line, row, register)
  }
}

function parseHeader(cells: readonly string[]): Column[] {
  const header = cells.map((cell) => cell.trim().toLowerCase())
  const unknown = header.filter((name) => !(PEOPLE_COLUMNS as readonly string[]).includes(name))
  if (unknown.length > 0)
    throw new UnusableCsv(
      message('setup.fault.unknownColumns', {
        count: unknown.length,
        names: quote(unknown.join('”, “')),
        columns: PEOPLE_COLUMNS.join(','),
      }),
    )
  if (new Set(header).size < header.length) throw new UnusableCsv(message('setup.fault.repeatedColumn'))
  if (!header.includes('email'))
    throw new UnusableCsv(message('setup.fault.missingColumn', { column: 'email' }))
  if (header.includes('place') !== header.includes('role'))
    throw new UnusableCsv(message('setup.fault.rolePlaceColumns'))
  return header as Column[]
}

/** Adds a row to its person. Returns what is wrong with the row, or null. */
function mergeRow(draft: Draft, line: number, row: Row, register: RegisterDocument): Message | null {
  const { name: written = '', zone = '', left = '' } = row
  if (written.length > MAX_NAME_LENGTH) return message('setup.fault.longName', { max: MAX_NAME_LENGTH })
  if (zone !== '' && !isZone(zone)) return message('setup.fault.zoneCell', { zone })
  if (!['', 'yes', 'no'].includes(left.toLowerCase())) return message('setup.fault.leftCell')
  const cells = { name: written, zone, left: left.toLowerCase() }
  for (const name of ['name', 'zone', 'left'] as const) {
    if (cells[name] === '') continue
    if (draft[name] !== undefined && draft[name] !== cells[name])
      return message('setup.fault.contradiction', {
        column: name,
        email: draft.email,
        value: draft[name],
      })
    draft[name] = cells[name]
  }
  const role = parseRole(row.role ?? '', row.place ?? '', register)
  if (role === null || 'key' in role) return role
  if (draft.roles.some((one) => one.role === role.role && one.place === role.place))
    return message('setup.fault.repeatedRole', { email: draft.email, line })
  draft.roles.push(role)
  return null
}

function toWrittenPerson(
  { line, email, name, zone, left, roles }: Draft,
  hasRoleColumn: boolean,
  register: RegisterDocument,
): PersonRow {
  return {
    line,
    email,
    name,
    zone,
    zoneIfNew: findPlaceZone(roles, register) ?? 'UTC',
    roles: hasRoleColumn ? toRoles(sortByPlace(roles)) : undefined,
    hasLeft: left === undefined ? undefined : left === 'yes',
  }
}

/** The rows of a CSV of everyone, header first. */
export function toPeopleRows(people: readonly ListedPerson[]): string[][] {
  return [
    [...PEOPLE_COLUMNS],
    ...people.flatMap(({ email, name, zone, roles, leftAt }) => {
      const list = listRoles(roles)
      return (list.length > 0 ? list : [{ role: '', place: '' }]).map(({ role, place }) => [
        email,
        name,
        zone,
        role,
        place,
        leftAt === null ? 'no' : 'yes',
      ])
    }),
  ]
}
