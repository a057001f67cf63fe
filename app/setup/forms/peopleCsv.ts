import type { PeopleList, PersonFault, PersonRow } from '@/lib/access/people/planPeople'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import { readCsvRows } from '@/lib/intake/formats/csvRows'
import { parseSafeCell } from '@/lib/intake/formats/safeCsv'
import { isEmail, normalizeEmail } from '@/lib/policy/email'
import { listRoles, type Role, sortByPlace, toRoles } from '@/lib/policy/personRoles'
import type { ListedPerson } from '@/lib/store/people/people'
import { findPlaceZone, parseRole } from './personForm'

/** The columns of a list of people: a row for each person and each of their roles. */
export const PEOPLE_COLUMNS = ['email', 'name', 'zone', 'role', 'place', 'left'] as const
type Column = (typeof PEOPLE_COLUMNS)[number]
type Row = Partial<Record<Column, string>>

/** The most people that one list may name. */
const MAX_PEOPLE = 5_000

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
 * Reads a CSV with a header of some of the columns. The rows of one address say together all that the person is; what
 * has no column or an empty cell stays as it is. A person of whom one line is refused is left out whole.
 * Errors: SyntaxError, in a sentence, where the header cannot be used or too many people are named.
 */
export function parsePeopleCsv(text: string, register: RegisterDocument): PeopleList {
  const drafts = new Map<string, Draft>()
  const faults: PersonFault[] = []
  const faulty = new Set<string>()
  let unknownLine: number | null = null
  let header: Column[] | undefined
  for (const { line, cells, fault } of readCsvRows(text.replace(/^\ufeff/, ''))) {
    if (!header) {
      if (fault !== null) throw new SyntaxError(`Line ${line}, which should name the columns: ${fault}.`)
      header = parseHeader(cells)
      continue
    }
    const row: Row = {}
    header.forEach((name, index) => {
      row[name] = parseSafeCell((cells[index] ?? '').trim()).trim()
    })
    const email = normalizeEmail(row.email ?? '')
    const detail = fault === null ? addLine(line, cells.length, header, email, row) : `${fault}.`
    if (detail === null) continue
    faults.push({ line, detail })
    if (isEmail(email)) faulty.add(email)
    else unknownLine ??= line
  }
  if (!header) throw new SyntaxError(`There is no header. Begin with a line of: ${PEOPLE_COLUMNS.join(',')}`)
  const saysRoles = header.includes('role')
  const people = [...drafts.values()]
    .filter(({ email }) => !faulty.has(email))
    .map((draft) => toWrittenPerson(draft, saysRoles, register))
  return { people, faults, unknownLine }

  function addLine(line: number, count: number, columns: Column[], email: string, row: Row): string | null {
    if (count !== columns.length) return `It has ${count} cells and the header ${columns.length}.`
    if (!isEmail(email)) return 'email: Write an e-mail address, as name@example.org.'
    const draft = drafts.get(email) ?? { line, email, roles: [] }
    if (!drafts.has(email) && drafts.size === MAX_PEOPLE)
      throw new SyntaxError(`A list names at most ${MAX_PEOPLE} people; send it in parts.`)
    drafts.set(email, draft)
    return mergeRow(draft, line, row, register)
  }
}

function parseHeader(cells: readonly string[]): Column[] {
  const header = cells.map((cell) => cell.trim().toLowerCase())
  const unknown = header.filter((name) => !(PEOPLE_COLUMNS as readonly string[]).includes(name))
  if (unknown.length > 0)
    throw new SyntaxError(
      `No column is called "${unknown.join('", "')}". Name some of: ${PEOPLE_COLUMNS.join(',')}`,
    )
  if (new Set(header).size < header.length) throw new SyntaxError('The header names a column twice.')
  if (!header.includes('email')) throw new SyntaxError('The header lacks the column "email".')
  if (header.includes('place') !== header.includes('role'))
    throw new SyntaxError('The columns "role" and "place" go together; name both or neither.')
  return header as Column[]
}

/** Adds a row to what is known of its person; what is wrong with it, or null. */
function mergeRow(draft: Draft, line: number, row: Row, register: RegisterDocument): string | null {
  const { name: written = '', zone = '', left = '' } = row
  if (written.length > MAX_NAME_LENGTH) return `name: Write at most ${MAX_NAME_LENGTH} characters.`
  if (zone !== '' && !isZone(zone)) return `zone: "${zone}" is none; write one like Europe/Lisbon.`
  if (!['', 'yes', 'no'].includes(left.toLowerCase()))
    return 'left: Write yes for who has left, no for who has not, or nothing.'
  const said = { name: written, zone, left: left.toLowerCase() }
  for (const name of ['name', 'zone', 'left'] as const) {
    if (said[name] === '') continue
    if (draft[name] !== undefined && draft[name] !== said[name])
      return `${name}: an earlier line of ${draft.email} says "${draft[name]}"; write the same, or nothing.`
    draft[name] = said[name]
  }
  const role = parseRole(row.role ?? '', row.place ?? '', register)
  if (role === null) return null
  if (typeof role === 'string') return role
  if (draft.roles.some((one) => one.role === role.role && one.place === role.place))
    return `This role of ${draft.email} stands on an earlier line already; take line ${line} out.`
  draft.roles.push(role)
  return null
}

function toWrittenPerson(
  { line, email, name, zone, left, roles }: Draft,
  saysRoles: boolean,
  register: RegisterDocument,
): PersonRow {
  return {
    line,
    email,
    name,
    zone,
    zoneIfNew: findPlaceZone(roles, register) ?? 'UTC',
    roles: saysRoles ? toRoles(sortByPlace(roles)) : undefined,
    hasLeft: left === undefined ? undefined : left === 'yes',
  }
}

/** Everyone as such a list, header first. */
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
