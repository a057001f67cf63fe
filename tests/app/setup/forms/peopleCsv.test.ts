import { describe, expect, test } from 'vitest'
import { PEOPLE_COLUMNS, parsePeopleCsv, toPeopleRows } from '@/app/setup/forms/peopleCsv'
import { type PeoplePlan, planPeople } from '@/lib/access/people/planPeople'
import { formatCsv } from '@/lib/intake/formats/safeCsv'
import { english } from '@/lib/messages/english'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { ListedPerson } from '@/lib/store/people/people'
import { checkedRegister } from '../../../cases/smallProgramme'

const register = checkedRegister()
const [plant, laboratory] = [register.plants[0]?.code ?? '', register.laboratories[0]?.code ?? '']

const person = (email: string, rest: Partial<ListedPerson>): ListedPerson => ({
  id: `id of ${email}`,
  email,
  name: `Name of ${email}`,
  zone: 'Europe/Lisbon',
  roles: NO_ROLES,
  createdAt: 0,
  leftAt: null,
  hasLeft: false,
  ...rest,
})
const CHIEF = person('chief@a.example', { roles: { ...NO_ROLES, isAdministrator: true } })
const CONTACT = person('contact@a.example', {
  roles: { ...NO_ROLES, isReader: true, plants: [plant], laboratories: [laboratory] },
})
const GONE = person('gone@a.example', { leftAt: 5, hasLeft: true })

const makePlan = (text: string, known: readonly ListedPerson[] = [CHIEF, CONTACT, GONE]) =>
  planPeople(known, parsePeopleCsv(text, register))
const describeRefused = ({ refused }: PeoplePlan) =>
  refused.map(({ line, detail }) => `${line}: ${english.message(detail)}`)
const emails = (people: { after: { email: string } }[]) => people.map(({ after }) => after.email)

describe('a list of people', () => {
  test('changes nobody when an export is imported again', () => {
    const odd = person('odd@a.example', { name: '=1+1, "quoted"', roles: { ...NO_ROLES, isReader: true } })
    const text = formatCsv(toPeopleRows([CHIEF, CONTACT, GONE, odd]))
    expect(text).toContain(`"'=1+1, ""quoted"""`)
    const plan = makePlan(text, [CHIEF, CONTACT, GONE, odd])
    expect(plan).toMatchObject({ added: [], changed: [], refused: [] })
    expect(plan.unchanged).toHaveLength(4)
  })

  test('combines the lines of an address, and keeps what it does not mention', () => {
    const plan = makePlan(
      `role,place,email\nreader,,NEW@b.example\nplant contact,${plant},contact@a.example\n` +
        `laboratory desk,${laboratory},contact@a.example`,
    )
    expect(describeRefused(plan)).toEqual(['2: name: new@b.example is new; enter a name.'])
    expect(plan.changed).toMatchObject([
      {
        before: { roles: { isReader: true } },
        after: {
          name: CONTACT.name,
          roles: { isReader: false, plants: [plant], laboratories: [laboratory] },
        },
      },
    ])
  })

  test('without a role column removes no role; with an empty one removes all', () => {
    expect(makePlan('email,name\ncontact@a.example,Other').changed).toMatchObject([
      { after: { name: 'Other', roles: CONTACT.roles } },
    ])
    expect(makePlan('email,role,place\ncontact@a.example,,').changed).toMatchObject([
      { after: { roles: NO_ROLES } },
    ])
  })

  test('gives a new person the zone of their first place, else UTC', () => {
    const plan = makePlan(
      `email,name,role,place\nx@b.example,X,plant contact,${plant}\ny@b.example,Y,reader,`,
    )
    expect(plan.added.map(({ after }) => after.zone)).toEqual([register.plants[0]?.zone, 'UTC'])
  })

  test('ends access and restores it', () => {
    const plan = makePlan('email,left\ncontact@a.example,yes\ngone@a.example,no')
    expect(plan.changed.map(({ after }) => after.hasLeft)).toEqual([true, false])
  })
})

describe('a line is refused with a sentence,', () => {
  const full = (row: string) => makePlan(`${PEOPLE_COLUMNS.join(',')}\n${row}`)

  test.each([
    [
      'x@b.example,X,,captain,,',
      'role: “captain” is not a role; enter one of these: administrator, reader, plant contact, laboratory desk.',
    ],
    ['x@b.example,X,,plant contact,,', 'place: Enter the code of the plant.'],
    ['x@b.example,X,,plant contact,NOWHERE,', 'place: No plant in the register has the code “NOWHERE”.'],
    [
      `x@b.example,X,,laboratory desk,${plant},`,
      `place: No laboratory in the register has the code “${plant}”.`,
    ],
    [`x@b.example,X,,reader,${plant},`, 'place: The role reader has no place; leave it empty.'],
    [`x@b.example,X,,,${plant},`, `role: Enter the person’s role at ${plant}.`],
    ['x@b.example,X,Mars/Base,,,', 'zone: “Mars/Base” is not a time zone; enter one such as Europe/Lisbon.'],
    ['x@b.example,X,,,,perhaps', 'left: Enter yes if the person has left'],
    ['nobody,X,,reader,,', 'email: Enter an e-mail address'],
    [`x@b.example,${'n'.repeat(201)},,,,`, 'name: Enter at most 200 characters.'],
    ['x@b.example,X', 'The row has 2 cells; the header has 6.'],
    ['x@b.example,"X,,,,', 'A quotation mark opens a cell, and none closes it.'],
  ])('%s', (row, words) => {
    const plan = full(row)
    expect(plan.added).toEqual([])
    expect(plan.refused).toHaveLength(1)
    expect(plan.refused[0]?.line).toBe(2)
    expect(describeRefused(plan)[0]).toContain(words)
  })

  test('and the person does not change, though their other lines are right', () => {
    const plan = makePlan(
      'email,name,role,place\ncontact@a.example,,reader,\ncontact@a.example,,captain,\nz@b.example,Z,reader,',
    )
    expect(emails(plan.added)).toEqual(['z@b.example'])
    expect(plan.changed).toEqual([])
  })

  test('and nobody loses a role if an unreadable line may be theirs', () => {
    const plan = makePlan('email,role,place\ncontact@a.example,reader,\ncontact.example,plant contact,PL1')
    expect(plan.changed).toEqual([])
    expect(describeRefused(plan).join('\n')).toContain(
      'contact@a.example would lose a role, and line 3, which cannot be read, may be about them',
    )
  })

  test('and lines that contradict each other are refused', () => {
    const plan = makePlan('email,name,role,place\nx@b.example,X,reader,\nx@b.example,Y,administrator,')
    expect(plan.added).toEqual([])
    expect(describeRefused(plan)[0]).toContain('an earlier line of x@b.example has “X”')
  })
})

describe('the last administrator', () => {
  test.each(['email,role,place\nchief@a.example,reader,', 'email,left\nchief@a.example,yes'])(
    'cannot be removed: %j',
    (text) => {
      const plan = makePlan(text)
      expect(plan.changed).toEqual([])
      expect(describeRefused(plan)[0]).toContain('No administrator would be left')
    },
  )

  test('can be removed if the same list adds another', () => {
    const plan = makePlan('email,role,place\nchief@a.example,,\ncontact@a.example,administrator,')
    expect(emails(plan.changed)).toEqual(['chief@a.example', 'contact@a.example'])
    expect(plan.refused).toEqual([])
  })

  test('cannot be removed if the other one’s line is refused, or has left', () => {
    const plan = makePlan(
      'email,role,place\nchief@a.example,,\ncontact@a.example,administrator,X\ngone@a.example,administrator,',
    )
    expect(emails(plan.changed)).toEqual(['gone@a.example'])
  })
})

test.each([
  ['', 'There is no header. Begin with the line: email,name,zone,role,place,left'],
  ['email,mood\n', 'There is no column “mood”.'],
  ['name,zone\n', 'The column “email” is missing from the header.'],
  ['email,email\n', 'The header names a column twice.'],
  ['email,role\n', 'The columns “role” and “place” go together'],
  [`email\n${Array.from({ length: 5_001 }, (_, n) => `p${n}@b.example`).join('\n')}`, 'at most 5,000 people'],
])('an unusable header or length is refused with a reason: %#', (text, words) =>
  expect(() => parsePeopleCsv(text, register)).toThrow(words),
)
