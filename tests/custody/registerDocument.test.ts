import { describe, expect, test } from 'vitest'
import { parseRegister } from '@/lib/custody/parseRegister'
import { english } from '@/lib/messages/english'
import { KIT, registerInput } from './desk'

type Input = ReturnType<typeof registerInput>

/** The problems of a register in which one thing was changed. */
function problems(change: (input: Input) => unknown) {
  // As it would come over the wire: no part of it is shared.
  const input = JSON.parse(JSON.stringify(registerInput())) as Input
  change(input)
  return parseRegister(input).problems.map(({ pointer, detail }) => ({
    pointer,
    detail: english.message(detail),
  }))
}

const pointers = (change: (input: Input) => unknown) => problems(change).map(({ pointer }) => pointer)

/** Sets what a pointer names. */
const set = (path: string, value: unknown) => (input: Input) => {
  const names = path.split('/').slice(1)
  const last = names.pop() as string
  const parent = names.reduce<Record<string, unknown>>(
    (at, name) => at[name] as Record<string, unknown>,
    input as never,
  )
  if (value === undefined) delete parent[last]
  else parent[last] = value
}

test('a valid register has no problem', () => {
  expect(parseRegister(registerInput()).problems).toEqual([])
})

describe('a register is refused, with a pointer to the place,', () => {
  test.each([
    ['if a zone does not exist', '/plants/0/zone', 'Europe/Nowhere', 'Europe/Lisbon'],
    ['if a zone is an offset', '/laboratories/1/zone', '-05:00', 'Europe/Lisbon'],
    ['if a date does not exist', '/laboratories/0/closed/0', '2026-02-29', 'date'],
    ['if hours are malformed', '/laboratories/0/receiving/mon/0', '8-16', '08:00-16:30'],
    ['if a code is empty', '/services/0/code', ' ', 'character'],
    ['if a name is missing', '/products/0/name', undefined, ''],
    ['if a milestone is unknown', '/protocols/0/limits/0/from', 'cut', ''],
    ['if a unit is unknown', '/protocols/0/limits/0/unit', 'fortnights', ''],
    ['if an amount is too large', '/protocols/0/limits/0/amount', 10_001, '10,000'],
    ['if an amount is not a whole number', '/protocols/0/limits/0/amount', 1.5, 'whole'],
    ['if an amount is a text', '/protocols/0/limits/0/amount', '24', ''],
    ['if days do not say how they are counted', '/protocols/0/limits/1/counting', undefined, 'calendar'],
    ['if hours have a counting', '/protocols/0/limits/0/counting', 'elapsed', 'leave'],
    ['if working days choose a zone', '/protocols/0/limits/2/zone', 'plant', 'leave'],
    ['if two limits have one name', '/protocols/0/limits/1/name', 'cut to carrier', 'cut to carrier'],
    ['if a limit ends where it starts', '/protocols/0/limits/0/to', 'collected', ''],
    ['if a chance is above one', '/protocols/0/tight', 1.5, ''],
    ['if a product has an unknown plant', '/products/0/plant', 'NOWHERE', 'NOWHERE'],
    ['if a product has an unknown protocol', '/products/0/protocol', 'NONE', 'NONE'],
    ['if a pickup has an unknown plant', '/pickups/0/plant', 'NOWHERE', 'NOWHERE'],
    ['if a pickup has an unknown service', '/pickups/0/service', 'pigeon', 'pigeon'],
    ['if a pickup has a malformed hour', '/pickups/0/hours/mon', '24:00', '16:30'],
    ['if a pickup has no weekday', '/pickups/0/hours', {}, 'weekday'],
    ['if a plant has no workday', '/plants/0/workdays', [], 'at least one'],
    ['if workdays are no list', '/plants/0/workdays', 'mon', ''],
    ['if a family has an unknown member', '/families/0/members/1', 'NONE', 'NONE'],
    ['if a family names a member twice', '/families/0/members/1', 'TILE', 'twice'],
    ['if the tested product is no member', '/families/0/tested', 'NONE', 'not a member'],
    ['if a certificate has an unknown family', '/certificates/0/family', 'NONE', 'NONE'],
    ['if a certificate ends before it begins', '/certificates/0/expires', '2025-11-30', 'before'],
    ['if a duty has an unknown laboratory', '/duties/0/laboratory', 'CORK', 'CORK'],
    ['if a duty has an unknown service', '/duties/0/service', 'pigeon', 'pigeon'],
    ['if a duty has an unknown protocol', '/duties/0/protocol', 'NONE', 'NONE'],
    ['if a duty’s first day does not exist', '/duties/0/first', '2026-02-30', 'date'],
    ['if months are a text', '/duties/0/everyMonths', '12', 'whole number'],
    ['if a window is too short for the work', '/duties/0/windowDays', 23, '24 days'],
    ['if a window is longer than the period', '/duties/0/windowDays', 337, 'two tests'],
    ['if a shutdown has an unknown plant', '/shutdowns/0/plant', 'NOWHERE', 'NOWHERE'],
    ['if a shutdown ends before it begins', '/shutdowns/0/to', '2026-12-23', 'before'],
    ['if a shutdown is too long', '/shutdowns/0/to', '2028-02-01', '400'],
    ['if a kit’s posting day is malformed', '/kits/0/posted', 'soon', ''],
    [
      'if a kit has a wrong check character',
      '/kits/0/code',
      `${KIT.slice(0, 7)}${KIT.endsWith('0') ? '1' : '0'}`,
      `comes ${KIT[7]}`,
    ],
    ['if a kit code is malformed', '/kits/0/code', '123', 'seven characters'],
    ['if a kit has an unknown plant', '/kits/0/plant', 'NOWHERE', 'NOWHERE'],
    ['if a kit has an unknown laboratory', '/kits/0/laboratory', 'CORK', 'CORK'],
    ['if a kit has an unknown service', '/kits/0/service', 'pigeon', 'pigeon'],
    ['if a kit has an unknown product', '/kits/0/product', 'NONE', 'NONE'],
    ['if a kit replaces an unknown kit', '/kits/0/replaces', 'AAAA9999', 'AAAA9999'],
    ['if a kit has an unknown purpose', '/kits/0/purpose', 'third', ''],
    ['if a kit was issued at a local time', '/kits/0/issuedAt', '2026-07-01T12:00:00', 'offset'],
    ['if it holds from a date', '/holdsFrom', '2026-12-01', 'offset'],
    ['if kits are no list', '/kits', {}, ''],
  ])('%s (%s)', (_, pointer, value, says) => {
    const found = problems(set(pointer, value)).find((one) => one.pointer === pointer)
    expect(found?.detail).toContain(says)
  })

  test('if a laboratory opens on no weekday', () => {
    expect(pointers(set('/laboratories/0/receiving', {}))).toEqual(['/laboratories/0/receiving'])
    expect(pointers(set('/laboratories/0/receiving', { mon: [] }))).toEqual(['/laboratories/0/receiving'])
  })

  test('if holidays leave a laboratory hardly any open day', () => {
    const onThursdays = (rules: number) => (input: Input) => {
      set('/laboratories/0/receiving', { thu: ['08:00-16:00'] })(input)
      const months = Array.from({ length: rules }, (_, index) => (index % 12) + 1)
      const holidays = months.map((month, index) => {
        const nth = Math.floor(index / 12) + 1
        return { name: `Thursday ${nth} of ${month}`, on: 'weekday', nth, weekday: 'thu', month }
      })
      set('/laboratories/0/holidays', holidays)(input)
    }
    // 52 Thursdays a year, of which 26 and then 27 are holidays.
    expect(pointers(onThursdays(60))).toEqual(['/laboratories/0/holidays'])
    expect(pointers(onThursdays(27))).toEqual(['/laboratories/0/holidays'])
    expect(pointers(onThursdays(26))).toEqual([])
    expect(pointers(onThursdays(367))).toContain('/laboratories/0/holidays')
  })

  test('if it has too many closures or shutdowns', () => {
    expect(pointers(set('/laboratories/0/closed', Array(7_321).fill('2026-12-24')))).toEqual([
      '/laboratories/0/closed',
    ])
    const shutdown = { plant: 'CORK', from: '2026-12-24', to: '2026-12-31' }
    expect(pointers(set('/shutdowns', Array(10_001).fill(shutdown)))).toContain('/shutdowns')
  })

  test('if a service has its pickups at a plant twice', () => {
    const again = set('/pickups/1', { plant: 'CORK', service: 'air', hours: { tue: '09:00' } })
    expect(problems(again)).toEqual([
      { pointer: '/pickups/1/plant', detail: expect.stringContaining('/pickups/0') },
    ])
  })

  test('if a shutdown of a plant is given twice, or a product is in two families', () => {
    const again = set('/shutdowns/1', { plant: 'CORK', from: '2026-12-24', to: '2026-12-31' })
    expect(pointers(again)).toEqual(['/shutdowns/1/plant'])
    const other = set('/families/1', { code: 'TWO', name: 'Two', members: ['PANEL'], tested: 'PANEL' })
    expect(problems(other)).toEqual([
      {
        pointer: '/families/1/members/0',
        detail: expect.stringContaining('already belongs to the family “ALL”'),
      },
    ])
  })

  test('if a certificate or a duty is of both a product and a family', () => {
    expect(pointers(set('/certificates/0/product', 'TILE'))).toEqual(['/certificates/0/family'])
    expect(pointers(set('/duties/0/product', 'TILE'))).toEqual(['/duties/0/family'])
    expect(pointers(set('/duties/0/family', undefined))).toEqual(['/duties/0/product'])
  })

  test('if a family is of two makers', () => {
    const input = set('/plants/0/maker', 'One')
    const change = (one: Input) => {
      input(one)
      set('/plants/1/maker', 'Another')(one)
      set('/products/1/plant', 'FELT')(one)
    }
    expect(pointers(change)).toEqual(['/families/0/members'])
  })

  test('if hours overlap, but not if they only meet', () => {
    const monday = set('/laboratories/0/receiving/mon', ['13:00-16:30', '08:00-13:01'])
    expect(problems(monday)).toEqual([
      { pointer: '/laboratories/0/receiving/mon', detail: expect.stringContaining('overlap') },
    ])
    expect(pointers(set('/laboratories/0/receiving/mon', ['13:00-16:30', '08:00-13:00']))).toEqual([])
  })

  test.each(['16:30-08:00', '08:00-08:00', '08:60-09:00', '08:00-24:01'])('if hours are %s', (hours) => {
    expect(pointers(set('/laboratories/0/receiving/mon', [hours]))).toEqual(['/laboratories/0/receiving/mon'])
  })

  test('if a weekday is unknown', () => {
    expect(pointers(set('/laboratories/0/receiving/someday', ['08:00-16:30'])).join()).toContain(
      '/laboratories/0/receiving',
    )
  })

  test('if a code is used twice', () => {
    expect(pointers(set('/services/1/code', 'air'))).toEqual(['/services/1/code'])
    expect(pointers(set('/kits/1/code', ` ${KIT.toLowerCase()}`))).toEqual(['/kits/1/code'])
  })

  test('if a plant has the code of a laboratory: they share one name space', () => {
    expect(problems(set('/plants/1/code', 'SOUTH'))).toEqual([
      { pointer: '/plants/1/code', detail: expect.stringContaining('/laboratories/1') },
    ])
  })

  test('if a kit is for one plant and its product of another', () => {
    expect(problems(set('/kits/0/plant', 'FELT'))).toEqual([
      { pointer: '/kits/0/product', detail: expect.stringContaining('CORK') },
    ])
  })

  test.each([
    ['the character NUL', 'a\u0000b'],
    ['half of a surrogate pair', 'a\ud800b'],
  ])('if a text holds %s, even under an unknown key', (_, text) => {
    expect(pointers(set('/plants/1/name', text))).toEqual(['/plants/1'])
    expect(pointers(set('/kits/0/note', { by: [text] }))).toEqual(['/kits/0'])
    expect(pointers(set('/remark', text))).toEqual(['/remark'])
  })

  test('if something is nested endlessly', () => {
    const deep = JSON.parse(`${'['.repeat(50_000)}${']'.repeat(50_000)}`)
    expect(
      parseRegister({ ...registerInput(), remark: { deep } }).problems.map(({ pointer }) => pointer),
    ).toEqual(['/remark'])
  })

  test('if "tight" comes after "atRisk"', () => {
    expect(
      pointers((input) => Object.assign(input.protocols[0] as object, { tight: 0.9, atRisk: 0.8 })),
    ).toEqual(['/protocols/0/tight'])
  })

  test.each([null, 7, 'register', [[]]])('if the whole is %o', (input) => {
    expect(parseRegister(input).problems).not.toEqual([])
  })
})

test('all problems are listed at once, shapes and references alike', () => {
  const found = pointers((input) => {
    set('/plants/1/zone', 'Europe/Nowhere')(input)
    set('/laboratories/0/receiving/mon', ['08:00-12:00', '11:00-16:00'])(input)
    set('/protocols/0/limits/1/counting', undefined)(input)
    set('/products/1/name', undefined)(input)
    set('/kits/0/code', '123')(input)
    set('/kits/1/laboratory', 'NOWHERE')(input)
    set('/services/1/code', 'air')(input)
  })
  expect(new Set(found)).toEqual(
    new Set([
      '/plants/1/zone',
      '/laboratories/0/receiving/mon',
      '/protocols/0/limits/1/counting',
      '/products/1/name',
      '/kits/0/code',
      '/kits/1/laboratory',
      '/services/1/code',
    ]),
  )
})

test('an unreadable entry is not reported as missing where others name it', () => {
  expect(pointers(set('/plants/0/zone', 'Europe/Nowhere'))).toEqual(['/plants/0/zone'])
  expect(pointers(set('/products/0/name', 7))).toEqual(['/products/0/name'])
})

test('a pointer escapes what JSON pointers escape (RFC 6901, section 3)', () => {
  expect(
    pointers(set('/laboratories/0/receiving', { 'a/b~c': ['08:00-16:30'], mon: ['08:00-16:30'] })).join(),
  ).toMatch(/^\/laboratories\/0\/receiving(\/a~1b~0c)?$/)
})
