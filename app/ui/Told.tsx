export const WITHHELD = 'withheld'

/** A count, or that it is not told; the head of the page says why. */
export function Told({ count }: { count: number | null }) {
  return count === null ? <i>{WITHHELD}</i> : count.toLocaleString('en-GB')
}
