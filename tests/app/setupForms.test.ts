import { describe, expect, test } from 'vitest'
import { type LineFault, parseCsvEntries, toCsvTables } from '@/app/setup/forms/csvEntries'
import { parseLaboratory, toLaboratoryValues } from '@/app/setup/forms/laboratoryForm'
import { parseDuty, parseFamily, parseShutdown } from '@/app/setup/forms/scheduleForms'
import { parsePickup, parsePlant } from '@/app/setup/forms/simpleForms'
import { formatWeekdays, formatWeekHours } from '@/app/setup/weekdays'
import { computeYearDays, formatClosedDays } from '@/app/setup/yearDays'
import { parseRegister } from '@/lib/custody/parseRegister'
import { type LaboratoryContent, openingDays, type RegisterDocument } from '@/lib/custody/registerDocument'
import { formatCsv } from '@/lib/intake/formats/safeCsv'
import { english } from '@/lib/messages/english'
import { checkedRegister } from '@/tests/cases/smallProgramme'

const NOW = Date.parse('2026-10-30T12:00:00Z')
const register = checkedRegister({
  pickups: [{ plant: 'PL1', service: 'road', hours: { mon: '16:30', tue: '16:30', fri: '09:05' } }],
  plants: [
    { code: 'PL1', name: 'A plant', zone: 'Europe/Lisbon', workdays: ['mon', 'sat'] },
    { code: 'PL2', name: 'Another plant', zone: 'Asia/Kolkata' },
  ],
  families: [{ code: 'SOFT', name: 'Soft ones', members: ['FELT', 'CORK'], tested: 'CORK' }],
  certificates: [
    { code: 'N-1', family: 'SOFT', issued: '2026-01-31', expires: '2027-01-31' },
    { code: 'N-2', product: 'FELT', issued: '2026-01-31', expires: '2026-12-31' },
  ],
  duties: [
    {
      code: 'YEARLY',
      family: 'SOFT',
      laboratory: 'LAB',
      service: 'road',
      first: '2027-01-15',
      everyMonths: 12,
      windowDays: 90,
      kitDays: 4,
      loadDays: 0,
      testDays: 14,
      reportDays: 5,
    },
    {
      code: 'ONCE',
      product: 'FELT',
      protocol: 'TEN',
      laboratory: 'LAB',
      first: '2027-03-01',
      windowDays: 60,
      kitDays: 4,
      loadDays: 1,
      testDays: 28,
      reportDays: 5,
    },
  ],
  shutdowns: [{ plant: 'PL1', from: '2026-12-24', to: '2027-01-03', reason: 'Year’s end' }],
})

const failOnNewCode = () => {
  throw new Error('created a kit code')
}

const describeLine = ({ line, detail }: LineFault) => `${line}: ${english.message(detail)}`

const parseTestLaboratory = (values: Record<string, string>) =>
  parseLaboratory({ code: 'L', name: 'L', zone: 'UTC', ...values })

describe('the form of a laboratory', () => {
  test('reads hours as people write them, and fills the form with what it read', () => {
    const { content, problems } = parseTestLaboratory({
      mon: '8:00–12:00, 13:00 - 16:30',
      closed: '2026-12-24 to 2026-12-26\n2026-11-26',
      holidays: 'New Year: 1 January, observed\nEaster Monday: Easter + 1',
    })
    expect(problems).toEqual([])
    expect(content).toMatchObject({
      receiving: { mon: ['08:00-12:00', '13:00-16:30'] },
      closed: ['2026-11-26', '2026-12-24', '2026-12-25', '2026-12-26'],
      holidays: [
        { name: 'New Year', on: 'date', day: 1, month: 1, observed: true },
        { name: 'Easter Monday', on: 'easter', days: 1 },
      ],
    })
    const values = toLaboratoryValues(content as unknown as LaboratoryContent)
    expect(parseLaboratory(values).content).toEqual(content)
    expect(values.closed).toBe('2026-11-26\n2026-12-24 to 2026-12-26')
  })

  test.each([
    ['2026-02-30', 'is not a date'],
    ['2026-12-24 to 2026-12-20', 'ends before it begins'],
    ['2026-12-24 to 2062-12-26', 'check the years'],
  ])('explains what is wrong with "%s"', (closed, words) => {
    expect(
      parseTestLaboratory({ mon: '08:00-09:00', closed }).problems.map(({ detail }) =>
        english.message(detail),
      )[0],
    ).toContain(words)
  })

  test('accepts at most twenty years of closures, however they overlap', () => {
    const years = (count: number) =>
      Array.from({ length: count }, (_, index) => `${2000 + index}-01-01 to ${2001 + index}-01-31`).join('\n')
    expect(parseTestLaboratory({ closed: years(19) }).problems).toEqual([])
    expect(parseTestLaboratory({ closed: years(21) }).problems.map(({ field }) => field)).toEqual(['closed'])
    expect(parseTestLaboratory({ closed: '2026-12-24\n'.repeat(20_000) }).problems).toEqual([])
    const lines = Array.from(
      { length: 7_321 },
      (_, index) => `2026-12-24 to 2026-12-${25 + (index % 7)} ${index}`,
    )
    expect(parseTestLaboratory({ closed: lines.join('\n') }).problems).toHaveLength(1)
  })

  test('previews its year, with the reason for each closed day', () => {
    const { content } = parseTestLaboratory({
      thu: '08:00-09:00',
      fri: '08:00-09:00',
      closed: '2026-12-24 to 2027-01-02',
      holidays: 'Harvest: first Friday of December',
    })
    const year = computeYearDays(openingDays.parse(content), 2026)
    // 53 Thursdays and 52 Fridays, less Thursdays 24 and 31 and Fridays 4 and 25 of December.
    expect(year.flat().filter(({ state }) => state === 'open')).toHaveLength(53 + 52 - 4)
    expect(formatClosedDays(english, year[11] ?? [])).toEqual(['4 Harvest', '24 to 31 closed'])
    expect(formatClosedDays(english, year[4] ?? [])).toEqual([])
  })
})

describe('the form of pickups', () => {
  test('reads hours as people write them, and shows when a service calls', () => {
    const content = parsePickup({
      plant: 'PL1',
      service: 'road',
      mon: '9:05',
      tue: '9:05',
      wed: '',
      sat: '11:00',
    })
    expect(content).toEqual({
      code: 'PL1 by road',
      plant: 'PL1',
      service: 'road',
      hours: { mon: '09:05', tue: '09:05', sat: '11:00' },
    })
    const hours = content.hours as Record<string, string>
    expect(formatWeekHours(english, (day) => hours[day])).toEqual(['Mon to Tue 09:05', 'Sat 11:00'])
    expect(formatWeekdays(english, ['sun', 'tue', 'mon', 'wed'])).toBe('Mon to Wed and Sun')
  })

  test('needs the plant and the service as columns of a CSV', () => {
    expect(() => parseCsvEntries('pickups', 'plant,mon\nPL1,16:30\n', register, failOnNewCode, NOW)).toThrow(
      '“service”',
    )
    const text = 'plant,service,mon\nPL1,road,15:00\nPL1,road,16:00\n'
    const { edits, lines } = parseCsvEntries('pickups', text, register, failOnNewCode, NOW)
    // A row changes only the columns it has: Tuesday and Friday stay.
    expect(edits).toMatchObject([{ content: { hours: { mon: '15:00', tue: '16:30', fri: '09:05' } } }])
    expect(lines.map(describeLine)).toEqual(['3: PL1 by road is already on line 2.'])
  })
})

describe('the forms of the testing schedule', () => {
  test('reads workdays as people write them', () => {
    const values = { code: 'P', name: 'P', zone: 'UTC', workdays: 'Mon, Thu; sat' }
    expect(parsePlant(values)).toMatchObject({ workdays: ['mon', 'thu', 'sat'] })
    expect(parsePlant({ ...values, workdays: '' }).workdays).toBeUndefined()
  })

  test('reads one member a line, and a shutdown of one day', () => {
    expect(parseFamily({ members: 'FELT\n\nCORK\n' }).members).toEqual(['FELT', 'CORK'])
    expect(parseShutdown({ plant: 'PL1', from: '2026-12-24', to: '' })).toMatchObject({
      code: 'PL1 from 2026-12-24',
      to: '2026-12-24',
    })
  })

  test('keeps a count that is not a number for the register to refuse', () => {
    expect(parseDuty({ code: 'D', windowDays: '90', kitDays: 'four', everyMonths: '' })).toMatchObject({
      windowDays: 90,
      kitDays: 'four',
      everyMonths: undefined,
    })
  })
})

describe('a list as CSV', () => {
  test.each([
    'laboratories',
    'plants',
    'services',
    'protocols',
    'products',
    'pickups',
    'families',
    'certificates',
    'duties',
    'shutdowns',
    'kits',
  ] as const)('of %s reads back the same entries', (list) => {
    const text = formatCsv([...toCsvTables(list, register)].flat())
    const { edits, lines } = parseCsvEntries(list, text, register, failOnNewCode, NOW)
    expect(lines).toEqual([])
    const entered = { ...register, [list]: edits.map(({ content }) => content) }
    const { document, problems } = parseRegister(JSON.parse(JSON.stringify(entered)))
    expect(problems).toEqual([])
    expect((document as RegisterDocument)[list].map((one) => ({ purpose: 'first', ...one }))).toEqual(
      register[list].map((one) => ({ purpose: 'first', ...one })),
    )
  })

  test('never contains a formula, and reads back text that begins like one', () => {
    const services = [{ code: 'road', name: '=HYPERLINK("https://elsewhere.example")' }]
    const text = formatCsv([...toCsvTables('services', { ...register, services })].flat())
    expect(text).toContain(`"'=HYPERLINK(""https://elsewhere.example"")"`)
    expect(parseCsvEntries('services', text, register, failOnNewCode, NOW).edits).toMatchObject([
      { content: services[0] },
    ])
  })

  test('creates a code for a kit without one, and names the wrong line', () => {
    const text = 'code,plant,laboratory\n,PL1,LAB\n,PL2,LAB,too many\n'
    const { edits, lines } = parseCsvEntries('kits', text, register, () => 'NEWCODE1', NOW)
    expect(edits).toMatchObject([
      { code: 'NEWCODE1', line: 2, content: { plant: 'PL1', issuedAt: '2026-10-30T12:00:00.000Z' } },
    ])
    expect(lines.map(describeLine)).toEqual(['3: The row has 4 cells; the header has 3.'])
  })

  test.each([
    ['', 'There is no header'],
    ['name,zone\n', 'The column “code” is missing'],
    ['code,colour\n', 'There is no column “colour”'],
    ['code,code\n', 'twice'],
  ])('is refused if it begins with "%s"', (text, words) => {
    expect(() => parseCsvEntries('plants', text, register, failOnNewCode, NOW)).toThrow(words)
  })

  test('is refused as a whole if it has more than 5,000 lines', () => {
    const list = (count: number) => `code,name\n${'a\n'.repeat(count)}`
    expect(parseCsvEntries('services', list(5_000), register, failOnNewCode, NOW).lines).toHaveLength(5_000)
    expect(() => parseCsvEntries('services', list(5_001), register, failOnNewCode, NOW)).toThrow(
      '5,000 lines',
    )
  })
})
