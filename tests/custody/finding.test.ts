import { describe, expect, test } from 'vitest'
import type { ReadEvent } from '@/lib/custody/event'
import { listUnruled } from '@/lib/custody/finding'
import type { RegisterEntry } from '@/lib/custody/register'
import type { ProtocolContent } from '@/lib/custody/registerDocument'
import { message } from '@/lib/messages/message'
import {
  consignmentEvent,
  deriveKit,
  event,
  iso,
  KIT,
  listFlags,
  ms,
  NOW,
  registerInput,
  registerWith,
  SECOND,
} from './desk'

const found = event('deviation', '2026-10-05T14:00:00Z', { facts: { what: 'bag leaking' } })
const on = 'desk/deviation at 2026-10-05T14:00:00Z'
/** Cut and handed over, so that no clock is unproven. */
const cut = event('collected', '2026-10-02T08:00:00Z')
const sent = event('dispatched', '2026-10-02T09:00:00Z')
const ruling = (at: string, facts: Record<string, unknown>) => event('ruling', at, { facts })

test('a deviation waits for a ruling, and the latest one counts', () => {
  expect(deriveKit([found]).findings).toEqual([
    {
      key: on,
      keys: [on],
      grade: 'hold',
      what: message('finding.reported', { what: 'bag leaking' }),
      at: Date.parse('2026-10-05T14:00:00Z'),
      decision: null,
    },
  ])
  const rulings = [
    ruling('2026-10-06T09:00:00Z', { on, ruling: 'use', reason: 'seal unbroken' }),
    ruling('2026-10-07T09:00:00Z', { on, ruling: 'cut again', reason: 'seal broken after all' }),
  ]
  const expected = { ruling: 'cut again', reason: 'seal broken after all' }
  expect(deriveKit([found, ...rulings]).findings[0]?.decision).toMatchObject(expected)
  expect(deriveKit([...rulings.reverse(), found]).findings[0]?.decision).toMatchObject(expected)
})

test('a withdrawn ruling leaves the deviation without one', () => {
  const ruled = ruling('2026-10-06T09:00:00Z', { on, ruling: 'use' })
  const withdrawn = event('withdrawn', '2026-10-06T10:00:00Z', {
    corrects: 'desk/ruling at 2026-10-06T09:00:00Z',
  })
  expect(deriveKit([found, ruled, withdrawn]).findings[0]?.decision).toBeNull()
})

test.each([
  ['names no deviation', { ruling: 'use' }],
  ['names one of another sample', { on: 'desk/elsewhere', ruling: 'use' }],
  ['says nothing that can be done', { on, ruling: 'perhaps' }],
])('a ruling that %s has no effect, and is flagged', (_, facts) => {
  const sample = deriveKit([found, ruling('2026-10-06T09:00:00Z', facts)])
  expect(sample.findings[0]?.decision).toBeNull()
  expect(listFlags(sample)).toContain('ruling settles nothing')
})

test('a sample knows when the last copy of its form came', () => {
  expect(deriveKit([found]).formCopyAt).toBeNull()
  const copies = [event('form copy', '2026-10-04T09:00:00Z'), event('form copy', '2026-10-03T09:00:00Z')]
  expect(iso(deriveKit(copies).formCopyAt)).toBe('2026-10-04T09:00:00.000Z')
})

describe('the faults of a receipt', () => {
  const received = (at: string, condition: object, more = {}) =>
    event('received', at, { facts: { condition }, ...more })
  const takenBack = (corrects: string, more = {}) =>
    event('withdrawn', '2026-10-08T09:00:00Z', {
      id: `${corrects} taken back`,
      corrects,
      reason: 'wrong bag',
      ...more,
    })
  const key = 'desk/received at 2026-10-06T09:00:00Z'
  /** The counted findings: "key grade", without the clocks'. */
  const list = (events: readonly ReadEvent[], more = {}) =>
    deriveKit(events, more)
      .findings.filter((finding) => !finding.key.endsWith('#unproven'))
      .map((finding) => `${finding.key} ${finding.grade}`)
  const broken = received('2026-10-06T09:00:00Z', { seal: 'broken', form: 'missing' })
  const sound = received('2026-10-06T10:00:00Z', { seal: 'intact' }, { corrects: key })

  test('are findings at its time, each with a key of its own', () => {
    const seal = {
      key: `${key}#seal`,
      keys: [`${key}#seal`],
      grade: 'hold',
      what: message('finding.seal.broken'),
      at: ms('2026-10-06T09:00:00Z'),
      decision: null,
    }
    const form = expect.objectContaining({ key: `${key}#form`, grade: 'note' })
    expect(deriveKit([cut, sent, broken]).findings).toEqual([form, seal])
    const unruled = listUnruled(deriveKit([cut, sent, broken]).findings, NOW)
    expect(unruled.map((one) => one.key)).toEqual([`${key}#seal`])
  })

  test('stay when the receipt is corrected or withdrawn, also by one of another kit', () => {
    expect(list([broken, sound])).toEqual([`${key}#form note`, `${key}#seal hold`])
    expect(list([broken, event('withdrawn', '2026-10-07T09:00:00Z', { corrects: key })])).toHaveLength(2)
    const moved = { id: 'moved', sample: SECOND, corrects: key }
    const events = [broken, received('2026-10-06T09:00:00Z', { seal: 'broken' }, moved)]
    expect(list(events)).toHaveLength(2)
    expect(list(events, { of: SECOND })).toEqual(['desk/moved#seal hold'])
  })

  test('are added by a correction', () => {
    const wet = received('2026-10-06T09:00:00Z', { packaging: 'wet' }, { id: 'again', corrects: key })
    expect(list([broken, wet])).toEqual(
      [`${key}#form note`, `${key}#seal hold`, 'desk/again#packaging hold'].sort(),
    )
  })

  test('are one when the same is told twice, known by the first', () => {
    const again = received('2026-10-06T11:00:00Z', { seal: 'broken' }, { id: 'again', corrects: key })
    const other = received('2026-10-06T11:00:00Z', { seal: 'missing' }, { id: 'other' })
    const bySeal = (events: readonly ReadEvent[]) => list(events).filter((one) => one.includes('#seal'))
    expect(bySeal([again, broken])).toEqual([`${key}#seal hold`])
    expect(bySeal([again, broken, takenBack(`${key}#seal`)])).toEqual(['desk/again#seal hold'])
    expect(bySeal([again, broken, takenBack(`${key}#seal`), takenBack('desk/again#seal')])).toEqual([])
    expect(bySeal([other, broken])).toEqual([`${key}#seal hold`, 'desk/other#seal hold'])
    const ruled = ruling('2026-10-07T09:00:00Z', { on: 'desk/again#seal', ruling: 'use' })
    expect(
      deriveKit([broken, again, ruled]).findings.find((one) => one.keys.length > 1)?.decision?.ruling,
    ).toBe('use')
  })

  test('go by a withdrawal that counts and names them', () => {
    expect(list([broken, takenBack(`${key}#seal`)])).toEqual([`${key}#form note`])
    expect(list([broken, takenBack(`${key}#seal`, { sample: SECOND })])).toHaveLength(2)
    expect(list([broken, takenBack(`${key}#seal`, { at: '2026-12-01T09:00:00Z' })])).toHaveLength(2)
    const undone = event('withdrawn', '2026-10-09T09:00:00Z', { corrects: `desk/${key}#seal taken back` })
    expect(list([broken, takenBack(`${key}#seal`), undone])).toHaveLength(2)
  })

  test('stay when a withdrawal takes out an event with exactly their key', () => {
    const found = event('deviation', '2026-10-06T12:00:00Z', { id: 'r#seal', facts: { what: 'bag open' } })
    const receipt = received('2026-10-06T09:00:00Z', { seal: 'broken' }, { id: 'r' })
    const withdrawn = takenBack('desk/r#seal')
    expect(list([receipt, withdrawn])).toEqual([])
    expect(list([receipt, found, withdrawn])).toEqual(['desk/r#seal hold'])
    expect(deriveKit([receipt, found, withdrawn]).findings[0]?.what).toEqual(message('finding.seal.broken'))
  })

  test('are told of each sample of a consignment, and taken back of one', () => {
    const sent = [KIT, SECOND].map((sample) =>
      event('dispatched', '2026-10-02T09:00:00Z', {
        id: `sent ${sample}`,
        sample,
        service: 'air',
        waybill: 'W1',
      }),
    )
    const receipt = consignmentEvent('received', '2026-10-06T09:00:00Z', {
      facts: { condition: { airtight: false } },
    })
    const events = [...sent, receipt, takenBack(`${key}#airtight`)]
    expect(list(events)).toEqual([])
    expect(list(events, { of: SECOND })).toEqual([`${key}#airtight hold`])
  })

  test('are graded by the protocol in force at the receipt, and so is the temperature', () => {
    const protocol = registerInput().protocols[0] as ProtocolContent
    const version = (from: string, condition: ProtocolContent['condition']): RegisterEntry => ({
      kind: 'protocol',
      holdsFromAt: ms(from),
      content: { ...protocol, condition },
    })
    const hot = received('2026-10-06T09:00:00Z', { seal: 'broken', temperature: 61 })
    const of = (...versions: RegisterEntry[]) => ({ register: registerWith(...versions) })
    expect(list([hot])).toEqual([`${key}#seal hold`])
    expect(deriveKit([hot]).unjudgedTemperature).toBe(61)
    const colder = received('2026-10-06T10:00:00Z', { temperature: 8 })
    expect(deriveKit([colder, hot]).unjudgedTemperature).toBe(8)
    const lenient = version('2026-10-01T00:00:00Z', { grades: { seal: 'note' }, temperature: { max: 40 } })
    expect(list([hot], of(lenient))).toEqual([`${key}#seal note`, `${key}#temperature hold`])
    const later = version('2026-10-06T09:00:01Z', { grades: { seal: 'note' }, temperature: { max: 40 } })
    expect(list([hot], of(later))).toEqual([`${key}#seal hold`])
    expect(deriveKit([hot], of(later)).unjudgedTemperature).toBeNull()
    expect(deriveKit([broken]).unjudgedTemperature).toBeNull()
  })

  test('are read from what was recorded before conditions had parts', () => {
    const old = event('received', '2026-10-06T09:00:00Z', {
      facts: { 'seal intact': false, temperature: 61 },
    })
    expect(list([old])).toEqual([`${key}#seal hold`])
  })
})

describe('a ruling', () => {
  const first = event('deviation', '2026-10-05T14:00:00Z', { id: 'a', facts: { what: 'bag leaking' } })
  const second = event('deviation', '2026-10-05T15:00:00Z', { id: 'b', facts: { what: 'label torn' } })
  const decide = (...rulings: ReadEvent[]) =>
    deriveKit([first, second, ...rulings]).findings.map(({ decision }) => decision?.ruling ?? null)

  test('covers one finding or several, and only those that it names', () => {
    expect(decide(ruling('2026-10-06T09:00:00Z', { on: 'desk/a', ruling: 'use' }))).toEqual(['use', null])
    expect(decide(ruling('2026-10-06T09:00:00Z', { on: ['desk/a', 'desk/b'], ruling: 'use' }))).toEqual([
      'use',
      'use',
    ])
    const partly = ruling('2026-10-06T09:00:00Z', { on: ['desk/x', 7, 'desk/b'], ruling: 'use' })
    expect(decide(partly)).toEqual([null, 'use'])
    expect(listFlags(deriveKit([first, second, partly]))).not.toContain('ruling settles nothing')
    const none = ruling('2026-10-06T09:00:00Z', { on: [], ruling: 'use' })
    expect(listFlags(deriveKit([first, none]))).toContain('ruling settles nothing')
  })

  test('of the same time stands by its source, then its id', () => {
    const of = (source: string, id: string, word: string) =>
      event('ruling', '2026-10-06T09:00:00Z', { source, id, facts: { on: 'desk/a', ruling: word } })
    // As texts with their slash, these two sort the other way round.
    expect(decide(of('office-2', '1', 'cut again'), of('office', '9', 'use'))[0]).toBe('cut again')
    expect(decide(of('office', '1', 'use'), of('office', '2', 'cut again'))[0]).toBe('cut again')
  })
})

describe('what follows from the events is a finding of its own:', () => {
  const list = (events: readonly ReadEvent[]) =>
    deriveKit(events).findings.map(({ key, at }) => [key, iso(at)])

  test('a clock that stopped without a start, or before it', () => {
    const loaded = event('loaded', '2026-10-09T09:00:00Z')
    expect(list([event('received', '2026-10-08T09:00:00Z'), loaded])).toEqual([
      ['in transit#unproven', '2026-10-08T09:00:00.000Z'],
      ['cut to chamber#unproven', '2026-10-09T09:00:00.000Z'],
    ])
    const late = event('collected', '2026-10-10T09:00:00Z')
    expect(list([late, loaded])).toContainEqual(['cut to chamber#unproven', '2026-10-09T09:00:00.000Z'])
    expect(list([event('collected', '2026-10-08T09:00:00Z')])).toEqual([])
  })

  test('a sample that arrived after it was given up', () => {
    const lost = (at: string) => event('lost', at)
    const received = event('received', '2026-10-08T09:00:00Z')
    const key = 'desk/lost at 2026-10-05T09:00:00Z#arrived'
    expect(list([cut, sent, lost('2026-10-05T09:00:00Z'), lost('2026-10-06T09:00:00Z'), received])).toEqual([
      [key, '2026-10-08T09:00:00.000Z'],
    ])
    expect(list([cut, sent, received, lost('2026-10-09T09:00:00Z')])).toEqual([])
    const ruled = ruling('2026-10-09T09:00:00Z', { on: key, ruling: 'use' })
    expect(
      deriveKit([cut, sent, lost('2026-10-05T09:00:00Z'), received, ruled]).findings[0]?.decision?.ruling,
    ).toBe('use')
  })

  test('a rejection that was taken back, unless another stands', () => {
    const rejected = event('rejected', '2026-10-08T09:00:00Z', { reason: 'bag torn' })
    const of = 'desk/rejected at 2026-10-08T09:00:00Z'
    const withdrawn = event('withdrawn', '2026-10-09T09:00:00Z', { corrects: of })
    expect(list([rejected])).toEqual([])
    expect(list([rejected, withdrawn])).toEqual([[`${of}#taken back`, '2026-10-09T09:00:00.000Z']])
    const again = event('rejected', '2026-10-08T10:00:00Z', { reason: 'bag torn', corrects: of })
    expect(list([rejected, again])).toEqual([])
    const elsewhere = event('rejected', '2026-10-08T10:00:00Z', { sample: SECOND, corrects: of })
    expect(list([rejected, elsewhere])).toEqual([[`${of}#taken back`, '2026-10-08T09:00:00.000Z']])
  })
})
