const NAMES = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]

/** "November 2026" for "2026-11". */
export function monthWords(month: string): string {
  const [year, number] = month.split('-')
  return `${NAMES[Number(number) - 1]} ${year}`
}
