import { describe, expect, test } from 'vitest'
import { readEventForm } from '@/lib/intake/hand/eventForm'
import type { EventFormKit } from '@/lib/intake/hand/parseEventForm'
import { parseReceipts } from '@/lib/intake/hand/parseReceipts'
import { type FormFields, readReceiptForm, toReceiptFields } from '@/lib/intake/hand/receiptForm'
import { KIT, OTHER_KIT, UNKNOWN_KIT } from '../../cases/smallProgramme'

const NOW = Date.parse('2026-10-30T16:10:00Z')
const AT = '2026-10-30T12:10:00-04:00'

const kit = (code: string, more: Partial<EventFormKit> = {}): EventFormKit => ({
  code,
  plant: 'PL1',
  laboratory: 'LAB',
  product: 'FELT',
  reported: [],
  clocks: [],
  ...more,
})

const toFields = (entries: readonly (readonly [string, string])[]): FormFields => {
  const getAll = (name: string) => entries.flatMap(([one, value]) => (one === name ? [value] : []))
  return { get: (name) => getAll(name)[0] ?? '', getAll, names: () => entries.map(([name]) => name) }
}

function read(entries: [string, string][], kits = [kit(KIT), kit(OTHER_KIT)]) {
  const fields = toFields(entries)
  return parseReceipts(
    readEventForm((field) => (field === 'kind' ? 'received' : fields.get(field))),
    readReceiptForm(fields),
    {
      laboratory: 'LAB',
      kits: new Map(kits.map((one) => [one.code as string, one])),
      getAuthor: (box) => ({ source: 'hand 1', id: `token ${box}`, name: 'Someone' }),
      findZone: (place) => (place === 'LAB' || place === 'LAB2' ? 'America/New_York' : null),
      now: NOW,
    },
  )
}
const events = (...args: Parameters<typeof read>) => {
  const found = read(...args)
  if ('faults' in found) throw new Error(JSON.stringify(found.faults))
  return found.events.map(({ id, sample, place, waybill, facts }) => ({ id, sample, place, waybill, facts }))
}
const faults = (...args: Parameters<typeof read>) => {
  const found = read(...args)
  return 'faults' in found ? found.faults.map(({ field }) => field) : []
}

const both: [string, string][] = [
  ['sample', KIT],
  ['sample', OTHER_KIT],
]

describe('several boxes received by one form', () => {
  test('each have their own condition, and what was not checked is not written', () => {
    const said: [string, string][] = [
      ...both,
      [`condition.${KIT}.seal`, 'broken'],
      [`condition.${KIT.toLowerCase()}.temperature`, ''],
      [`condition.${OTHER_KIT}.codeMatches`, 'false'],
    ]
    expect(events(said).map(({ id, facts }) => [id, facts])).toEqual([
      [`token ${KIT}`, { condition: { seal: 'broken' } }],
      [`token ${OTHER_KIT}`, { condition: { codeMatches: false } }],
    ])
    expect(events(both).map(({ facts }) => facts)).toEqual([null, null])
  })

  test('share answers only if the form says so, and an answer of a box comes first', () => {
    const said: [string, string][] = [
      ...both,
      ['condition.seal', 'intact'],
      ['condition.packaging', 'sound'],
      [`condition.${KIT}.seal`, 'missing'],
    ]
    expect(faults(said)).toEqual(['forAll'])
    expect(events([...said, ['forAll', 'yes']]).map(({ facts }) => facts?.condition)).toEqual([
      { seal: 'missing', packaging: 'sound' },
      { seal: 'intact', packaging: 'sound' },
    ])
    expect(events([['sample', KIT], ...said.slice(2, 4)])[0]?.facts).toEqual({
      condition: { seal: 'intact', packaging: 'sound' },
    })
  })

  test('are all refused if one has a fault, each at its own field', () => {
    const said: [string, string][] = [
      ...both,
      [`condition.${KIT}.temperature`, 'hot'],
      [`condition.${UNKNOWN_KIT}.seal`, 'broken'],
    ]
    expect(faults(said, [kit(KIT), kit(OTHER_KIT, { reported: ['received'] })])).toEqual([
      `box.${UNKNOWN_KIT}`,
      `condition.${KIT}.temperature`,
      `box.${OTHER_KIT}`,
    ])
  })
})

describe('a box of no list', () => {
  test('is that of its kit if the person sees it, at the laboratory where it is', () => {
    const said: [string, string][] = [
      ['box', KIT],
      [`box.${KIT}.written`, 'a second label'],
    ]
    expect(events(said, [kit(KIT, { laboratory: 'LAB2' })])).toEqual([
      {
        id: `token ${KIT}`,
        sample: KIT,
        place: 'LAB',
        waybill: null,
        facts: { writtenOnBox: 'a second label' },
      },
    ])
  })

  test('is kept with its code as given, or without one', () => {
    const said: [string, string][] = [
      ['box', UNKNOWN_KIT],
      ['box', 'box1'],
      ['box.box1.waybill', 'WB 7'],
      ['box.box1.written', '7?K2'],
      ['condition.box1.packaging', 'wet'],
    ]
    expect(events(said)).toEqual([
      { id: `token ${UNKNOWN_KIT}`, sample: UNKNOWN_KIT, place: 'LAB', waybill: null, facts: null },
      {
        id: 'token box1',
        sample: null,
        place: 'LAB',
        waybill: 'WB 7',
        facts: { writtenOnBox: '7?K2', condition: { packaging: 'wet' } },
      },
    ])
    const found = read([
      ['box', 'box1'],
      ['box.box1.written', 'felt'],
    ])
    expect('events' in found && found.events[0]).toMatchObject({ kind: 'received', at: AT })
  })
})

describe('a box without a code', () => {
  test.each([
    ['nothing', [], ['box.box1.written']],
    ['only its condition', [['condition.box1.packaging', 'wet']], ['box.box1.written']],
    ['what is written on it', [['box.box1.written', 'felt']], []],
    ['its waybill', [['box.box1.waybill', 'WB 7']], []],
    ['the number on its seal', [['condition.box1.sealNumber', 'S 12']], []],
  ] as [string, [string, string][], string[]][])('of which someone tells %s', (_, told, missing) => {
    expect(faults([['box', 'box1'], ...told])).toEqual(missing)
  })
})

test('what was typed comes back as it was from the fields of an address', () => {
  const said: [string, string][] = [
    ['sample', KIT],
    ['box', 'box1'],
    ['box.box1.written', '7?K2'],
    [`condition.${KIT}.seal`, 'broken'],
    ['forAll', 'yes'],
  ]
  const form = readReceiptForm(toFields(said))
  expect(toReceiptFields(form)).toEqual(said)
})
