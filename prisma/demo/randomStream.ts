/** A seeded random number generator: the same seed and label give the same numbers on every machine. */
export interface RandomStream {
  /** Uniform in [0, 1). */
  next(): number
  /** Uniform integer from `low` to `high`, both included. */
  int(low: number, high: number): number
  chance(probability: number): boolean
  pick<T>(items: readonly T[]): T
  /** An index, with probability proportional to its weight. */
  weighted(weights: readonly number[]): number
  /** A new array of the same items in random order. */
  shuffled<T>(items: readonly T[]): T[]
}

/**
 * Marsaglia's xorshift with 128 bits of state ("Xorshift RNGs", 2003), seeded by a hash of the seed and a label, so
 * that one part of the demo can change without affecting the numbers of the others.
 */
export function randomStream(seed: number, label: string): RandomStream {
  let a = hash(`${seed}/${label}/a`)
  let b = hash(`${seed}/${label}/b`)
  let c = hash(`${seed}/${label}/c`)
  let d = hash(`${seed}/${label}/d`) | 1

  function next(): number {
    const mixed = a ^ (a << 11)
    a = b
    b = c
    c = d
    d = d ^ (d >>> 19) ^ mixed ^ (mixed >>> 8)
    return (d >>> 0) / 4_294_967_296
  }
  function int(low: number, high: number): number {
    return low + Math.floor(next() * (high - low + 1))
  }
  function pick<T>(items: readonly T[]): T {
    if (items.length === 0) throw new RangeError('nothing to pick from')
    return items[int(0, items.length - 1)] as T
  }
  function weighted(weights: readonly number[]): number {
    let left = next() * weights.reduce((sum, weight) => sum + weight, 0)
    for (const [index, weight] of weights.entries()) {
      left -= weight
      if (left < 0) return index
    }
    return weights.length - 1
  }
  function shuffled<T>(items: readonly T[]): T[] {
    const rest = [...items]
    const order: T[] = []
    while (rest.length > 0) order.push(...rest.splice(int(0, rest.length - 1), 1))
    return order
  }
  for (let warm = 0; warm < 8; warm++) next()
  return { next, int, chance: (probability) => next() < probability, pick, weighted, shuffled }
}

/** FNV-1a over the text's code units, then a final mix so that similar labels give distant states. */
function hash(text: string): number {
  let value = 0x811c9dc5
  for (let index = 0; index < text.length; index++) {
    value = Math.imul(value ^ text.charCodeAt(index), 0x01000193)
  }
  value = Math.imul(value ^ (value >>> 15), 0x2c1b3c6d)
  value = Math.imul(value ^ (value >>> 12), 0x297a2d39)
  return value ^ (value >>> 15)
}
