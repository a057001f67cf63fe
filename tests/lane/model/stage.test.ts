import { describe, expect, test } from 'vitest'
import type { Milestone } from '@/lib/hold/milestone'
import { listGroupKeys, listRemainingStages, STAGES, stageKey, stageKind } from '@/lib/lane/model/stage'

const chain = (reported: Milestone[], stop: Milestone) =>
  listRemainingStages((one) => reported.includes(one), stop).map(stageKey)

describe('a chain runs from the last reported milestone to the stop', () => {
  test.each<[Milestone[], Milestone, string[]]>([
    [['collected'], 'loaded', ['collected>dispatched', 'dispatched>received', 'received>loaded']],
    [
      ['produced'],
      'loaded',
      ['produced>collected', 'collected>dispatched', 'dispatched>received', 'received>loaded'],
    ],
    [['produced', 'collected', 'dispatched'], 'received', ['dispatched>received']],
    [['collected'], 'sealed', ['collected>sealed']],
    [['produced'], 'sealed', ['produced>collected', 'collected>sealed']],
    [['dispatched', 'received'], 'reported', ['received>reported']],
    [['received', 'conditioned'], 'loaded', ['conditioned>loaded']],
    [['received', 'conditioned', 'loaded'], 'reported', ['loaded>reported']],
    [['collected'], 'delivered', ['collected>dispatched', 'dispatched>delivered']],
  ])('with %j known, to %s', (reported, stop, stages) => expect(chain(reported, stop)).toEqual(stages))

  test('is empty if nothing before the stop was reported', () => {
    expect(chain([], 'loaded')).toEqual([])
    expect(chain(['loaded'], 'received')).toEqual([])
  })

  test('sealed and delivered do not begin a stage: the one before goes on', () => {
    expect(chain(['collected', 'sealed'], 'received')).toEqual([
      'collected>dispatched',
      'dispatched>received',
    ])
    expect(chain(['dispatched', 'delivered'], 'loaded')).toEqual(['dispatched>received', 'received>loaded'])
  })

  test('except if the boundary before them was passed unreported', () => {
    expect(chain(['produced', 'sealed'], 'dispatched')).toEqual(['sealed>dispatched'])
    expect(chain(['collected', 'delivered'], 'loaded')).toEqual(['delivered>received', 'received>loaded'])
  })
})

describe('a stage belongs to whoever is responsible for it', () => {
  test.each([
    ['produced', 'collected', 'plant'],
    ['collected', 'dispatched', 'plant'],
    ['dispatched', 'received', 'transit'],
    ['received', 'loaded', 'laboratory'],
    ['loaded', 'reported', 'laboratory'],
  ] as const)('%s to %s: the %s', (from, to, kind) => expect(stageKind({ from, to })).toBe(kind))

  const way = { plant: 'P1', laboratory: 'L1', service: 'road' }

  test('is grouped by plant, by lane within service, or by laboratory', () => {
    expect(listGroupKeys({ from: 'collected', to: 'dispatched' }, way)).toHaveLength(1)
    expect(listGroupKeys({ from: 'received', to: 'loaded' }, way)).toHaveLength(1)
    const [lane, service] = listGroupKeys({ from: 'dispatched', to: 'received' }, way)
    const other = listGroupKeys({ from: 'dispatched', to: 'received' }, { ...way, plant: 'P2' })
    expect(other[0]).not.toBe(lane)
    expect(other[1]).toBe(service)
  })

  test('has unique keys, even for codes with quotes and commas', () => {
    const transit = { from: 'dispatched', to: 'received' } as const
    const one = listGroupKeys(transit, { plant: 'A","B', laboratory: 'C', service: 'D' })
    const two = listGroupKeys(transit, { plant: 'A', laboratory: 'B","C', service: 'D' })
    expect(one[0]).not.toBe(two[0])
    const none = listGroupKeys(transit, { ...way, service: null })
    expect(none[1]).not.toBe(listGroupKeys(transit, { ...way, service: 'null' })[1])
  })

  test('every stage of every chain is listed', () => {
    const keys = STAGES.map(stageKey)
    expect(new Set(keys).size).toBe(keys.length)
    expect(keys).toContain('received>conditioned')
    expect(keys).not.toContain('collected>received')
  })
})
