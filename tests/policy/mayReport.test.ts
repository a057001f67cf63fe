import { describe, expect, test } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { KINDS, type Side } from '@/lib/custody/eventKinds'
import { getHandPersonId, handSource } from '@/lib/policy/handSource'
import { DECISIONS, findReportingSide, listSideKinds, mayTakeOut } from '@/lib/policy/mayReport'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { ApiKey, Person, Principal, Roles } from '@/lib/policy/principal'
import { getReporter, listReportableKinds, may } from '@/lib/policy/reporting'

const SAMPLE = { plant: 'PL1', laboratory: 'LAB' }

function someone(roles: Partial<Roles>): Person {
  const all = { ...NO_ROLES, ...roles }
  return { kind: 'person', id: 'p1', email: 'p1@example.org', name: 'Someone', roles: all }
}

const KEY: ApiKey = {
  kind: 'key',
  id: 'k1',
  name: 'a machine',
  sources: ['machine'],
  sides: ['plant'],
  kinds: null,
  plants: ['PL1'],
  laboratories: null,
  mayImportHistory: false,
  maySetRegister: false,
}

const listKinds = (principal: Principal, sample = SAMPLE) =>
  EVENT_KINDS.filter((kind) => may(principal, kind, sample))

const listReportedBy = (side: Side) =>
  EVENT_KINDS.filter((kind) => kind === 'withdrawn' || KINDS[kind].reportedBy.includes(side))
const OF_PLANT = listReportedBy('plant')
const OF_LABORATORY = listReportedBy('laboratory')

describe('who may report what', () => {
  test('an administrator records everything', () => {
    expect(listKinds(someone({ isAdministrator: true }))).toEqual(EVENT_KINDS)
  })

  test('a plant contact records what happens at the plant, and nothing of another plant', () => {
    const person = someone({ plants: ['PL1'] })
    expect(listKinds(person)).toEqual(OF_PLANT)
    expect(listKinds(person, { plant: 'PL2', laboratory: 'LAB' })).toEqual([])
  })

  test('a laboratory desk records what happens there, and nothing at another laboratory', () => {
    const person = someone({ laboratories: ['LAB'] })
    expect(listKinds(person)).toEqual(OF_LABORATORY)
    expect(listKinds(person, { plant: 'PL1', laboratory: 'FAR' })).toEqual([])
  })

  test('only an administrator records what the carrier or the programme reports', () => {
    const both = listKinds(someone({ plants: ['PL1'], laboratories: ['LAB'], isReader: true }))
    expect(both).toEqual(expect.arrayContaining(['collected', 'returned', 'received', 'deviation']))
    for (const kind of ['delivered', 'ruling', 'extended']) expect(both).not.toContain(kind)
  })

  test('someone with both roles records by the role that fits the sample’s place', () => {
    const person = someone({ plants: ['PL1'], laboratories: ['FAR'] })
    expect(listKinds(person)).toEqual(OF_PLANT)
    expect(listKinds(person, { plant: 'PL2', laboratory: 'FAR' })).toEqual(OF_LABORATORY)
  })

  test('a plant’s code is no laboratory’s', () => {
    expect(listKinds(someone({ plants: ['LAB'], laboratories: ['PL1'] }))).toEqual([])
  })

  test('a contact of one plant who works at the desk of another sample’s laboratory has two rights, and no third', () => {
    const person = someone({ plants: ['PL1'], laboratories: ['FAR'] })
    for (const kind of ['received', 'rejected', 'loaded'] as const)
      expect(may(person, kind, SAMPLE), kind).toBe(false)
    for (const kind of ['dispatched', 'cancelled', 'produced'] as const)
      expect(may(person, kind, { plant: 'PL2', laboratory: 'FAR' }), kind).toBe(false)
  })

  test('a key has the kinds of its side, at its own places', () => {
    expect(listKinds(KEY)).toEqual(OF_PLANT)
    expect(listKinds(KEY, { plant: 'PL2', laboratory: 'PL1' })).toEqual([])
    const desk: ApiKey = { ...KEY, sides: ['laboratory'], plants: null, laboratories: ['LAB'] }
    expect(listKinds(desk)).toEqual(OF_LABORATORY)
    expect(listKinds(desk, { plant: 'LAB', laboratory: 'FAR' })).toEqual([])
    const carrier: ApiKey = { ...KEY, sides: ['carrier'], plants: null }
    expect(listKinds(carrier)).toEqual(listReportedBy('carrier'))
  })

  test('the kinds that are named for a key are those it has', () => {
    expect(listKinds({ ...KEY, kinds: ['received'] })).toEqual(['received'])
    expect(listKinds({ ...KEY, kinds: ['received'] }, { plant: 'PL2', laboratory: 'LAB' })).toEqual([])
  })

  test('a key decides only what was named', () => {
    const programme: ApiKey = { ...KEY, sides: ['programme'], plants: null }
    expect(EVENT_KINDS.filter((kind) => !listKinds(programme).includes(kind))).toEqual(DECISIONS)
    expect(listKinds({ ...programme, kinds: ['ruling'] })).toEqual(['ruling'])
  })

  test('a key that was made for both ends before keys had sides has each side’s kinds at its own places', () => {
    const both: ApiKey = { ...KEY, sides: ['plant', 'laboratory'], laboratories: ['FAR'] }
    expect(listKinds(both)).toEqual(OF_PLANT)
    expect(listKinds(both, { plant: 'PL2', laboratory: 'FAR' })).toEqual(OF_LABORATORY)
  })

  test('kinds that were named for a key at both ends stay apart, too', () => {
    const kinds = ['collected', 'received', 'delivered', 'withdrawn']
    const both: ApiKey = { ...KEY, sides: ['plant', 'laboratory'], laboratories: ['FAR'], kinds }
    expect(listKinds(both)).toEqual(['collected', 'delivered', 'withdrawn'])
    expect(listKinds(both, { plant: 'PL2', laboratory: 'FAR' })).toEqual([
      'delivered',
      'received',
      'withdrawn',
    ])
  })

  test('nobody of some places acts on a kit that is not known', () => {
    for (const one of [KEY, someone({ plants: ['PL1'], laboratories: ['LAB'] })])
      expect(EVENT_KINDS.filter((kind) => may(one, kind, null))).toEqual([])
    expect(may(someone({ isAdministrator: true }), 'received', null)).toBe(true)
  })

  test('kinds are listed over all samples, as reports are judged by them', () => {
    const all = (roles: Partial<Roles>) => listReportableKinds(someone(roles))
    expect(all({ isAdministrator: true })).toEqual(EVENT_KINDS)
    expect(all({ plants: ['PL1'] })).toEqual(OF_PLANT)
    expect(all({ plants: ['PL1'], laboratories: ['LAB'] })).toEqual(
      EVENT_KINDS.filter((kind) => OF_PLANT.includes(kind) || OF_LABORATORY.includes(kind)),
    )
    expect(all({ isReader: true })).toEqual([])
  })

  test('a reader records nothing', () => expect(listKinds(someone({ isReader: true }))).toEqual([]))
})

describe('the side for which someone reports', () => {
  const find = (principal: Principal, kind: Parameters<typeof findReportingSide>[1], sample = SAMPLE) =>
    findReportingSide(getReporter(principal), kind, sample)

  test('is the one whose kind it is, for someone at both ends', () => {
    const both = someone({ plants: ['PL1'], laboratories: ['LAB'] })
    expect(find(both, 'collected')).toBe('plant')
    expect(find(both, 'received')).toBe('laboratory')
    expect(find(both, 'ruling')).toBeNull()
    const all = someone({ isAdministrator: true, plants: ['PL1'] })
    expect(find(all, 'collected')).toBe('plant')
    expect(find(all, 'collected', { plant: 'PL2', laboratory: 'LAB' })).toBe('programme')
    expect(find(all, 'delivered')).toBe('programme')
  })

  test('of a key is its own, also for a kind that is another side’s', () => {
    expect(find({ ...KEY, kinds: ['received'] }, 'received')).toBe('plant')
  })

  test('of a key that imports history is none, since others told it', () => {
    const history: ApiKey = { ...KEY, mayImportHistory: true }
    expect(find(history, 'collected')).toBeNull()
    expect(may(history, 'collected', SAMPLE)).toBe(true)
    expect(listReportableKinds(history)).toEqual(listSideKinds('plant'))
  })
})

test('the source of a report by hand names its person, and other sources name none', () => {
  expect(handSource(someone({}))).toBe('hand p1')
  expect(getHandPersonId('hand p1')).toBe('p1')
  expect(getHandPersonId('handler p1')).toBeNull()
})

describe('what either end may find', () => {
  const plant = getReporter(someone({ plants: ['PL1'] }))
  const desk = getReporter(someone({ laboratories: ['LAB'] }))
  const office = getReporter(someone({ isAdministrator: true }))
  const found = (reporter: typeof plant | null) => ({ kind: 'deviation' as const, reporter, corrects: null })

  test('is taken out by the end that found it, or by the programme', () => {
    expect(mayTakeOut(plant, found(plant), SAMPLE)).toBe(true)
    expect(mayTakeOut(plant, found(desk), SAMPLE)).toBe(false)
    expect(mayTakeOut(desk, found(plant), SAMPLE)).toBe(false)
    expect(mayTakeOut(desk, found(office), SAMPLE)).toBe(false)
    for (const finder of [plant, desk, office, null])
      expect(mayTakeOut(office, found(finder), SAMPLE)).toBe(true)
    expect(mayTakeOut(plant, found(plant), { plant: 'PL2', laboratory: 'LAB' })).toBe(false)
  })

  test('is taken out by either if it came from a file', () => {
    for (const by of [plant, desk]) expect(mayTakeOut(by, found(null), SAMPLE)).toBe(true)
  })

  test('and nothing else is bound to its finder', () => {
    const received = { kind: 'received' as const, reporter: office, corrects: null }
    expect(mayTakeOut(desk, received, SAMPLE)).toBe(true)
    expect(mayTakeOut(plant, received, SAMPLE)).toBe(false)
  })
})

test('what takes a fault of a receipt back is taken out by whoever may receive; any other withdrawal by either end', () => {
  const by = (roles: Parameters<typeof someone>[0]) => getReporter(someone(roles))
  const withdrawn = (corrects: string) => ({ kind: 'withdrawn' as const, reporter: null, corrects })
  const [plant, desk] = [by({ plants: ['PL1'] }), by({ laboratories: ['LAB'] })]
  expect(mayTakeOut(plant, withdrawn('dock/1#seal'), SAMPLE)).toBe(false)
  expect(mayTakeOut(desk, withdrawn('dock/1#seal'), SAMPLE)).toBe(true)
  expect(mayTakeOut(plant, withdrawn('dock/1'), SAMPLE)).toBe(true)
})
