export const TOO_FEW = 'too few makers to tell'

/** A count, or why it is not told. */
export function Told({ count }: { count: number | null }) {
  return count === null ? <i>{TOO_FEW}</i> : count.toLocaleString('en-GB')
}
