import { describe, expect, test } from 'vitest'
import { countMoves, keepBandOrder } from '@/app/(board)/bandOrder'
import type { Board } from '@/lib/store/read/board'
import { judgedRow } from '../sampleRows'

const plant = { code: 'PL1', name: 'A plant', zone: 'Europe/Lisbon', maker: null }
const bands = (...codes: string[]): Board['bands'] => [
  { plant, rows: codes.map((code) => judgedRow({ code })) },
]

describe('a board under a pointer', () => {
  test('keeps its order and updates each row', () => {
    const latest: Board['bands'] = [
      { plant, rows: [judgedRow({ code: 'C', stage: 'received' }), judgedRow({ code: 'A' })] },
    ]
    const shown = keepBandOrder(bands('A', 'B', 'C'), latest)
    expect(shown[0]?.rows.map(({ code, stage }) => [code, stage])).toEqual([
      ['A', null],
      ['B', null],
      ['C', 'received'],
    ])
  })

  test('counts the rows that would come, go or move', () => {
    expect(countMoves(bands('A', 'B', 'C'), bands('A', 'B', 'C'))).toBe(0)
    expect(countMoves(bands('A', 'B', 'C'), bands('C', 'A', 'B'))).toBe(1)
    expect(countMoves(bands('A', 'B', 'C'), bands('A', 'D', 'C'))).toBe(2)
    expect(countMoves(bands('A', 'B', 'C', 'D'), bands('D', 'C', 'B', 'A'))).toBe(3)
  })
})
