/** The largest amount of any hold limit, and of open days that are counted. */
export const LARGEST_AMOUNT = 10_000

/** Whether a number can be the amount of a hold limit: whole, from 0 to `LARGEST_AMOUNT`. */
export function isAmount(amount: number): boolean {
  return Number.isInteger(amount) && amount >= 0 && amount <= LARGEST_AMOUNT
}
