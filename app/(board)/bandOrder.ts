import type { Board } from '@/lib/store/read/board'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'

type Bands = Board['bands']

/**
 * Bands in the order of `shown` with the newest data of each row, so that nothing moves under a pointer. Rows that are
 * not in `latest` stay as they were; new ones wait.
 */
export function keepBandOrder(shown: Bands, latest: Bands): Bands {
  const known = new Map(getRows(latest).map((row) => [row.code, row]))
  return shown.map((band) => ({ ...band, rows: band.rows.map((row) => known.get(row.code) ?? row) }))
}

/** The number of rows that would come, go or move if `latest` replaced `shown`. */
export function countMoves(shown: Bands, latest: Bands): number {
  const before = getRows(shown).map(({ code }) => code)
  const after = getRows(latest).map(({ code }) => code)
  const places = new Map(before.map((code, index) => [code, index]))
  const common = after.flatMap((code) => places.get(code) ?? [])
  const moved = common.length - countInOrder(common)
  return moved + (before.length - common.length) + (after.length - common.length)
}

function getRows(bands: Bands): JudgedRow[] {
  return bands.flatMap((band) => band.rows)
}

/** Length of the longest increasing subsequence: the rows that keep their order. */
function countInOrder(numbers: readonly number[]): number {
  const smallestEnds: number[] = []
  for (const number of numbers) {
    let [low, high] = [0, smallestEnds.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if ((smallestEnds[middle] as number) < number) low = middle + 1
      else high = middle
    }
    smallestEnds[low] = number
  }
  return smallestEnds.length
}
