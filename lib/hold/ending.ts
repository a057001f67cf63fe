/** What ends a sample early. */
export const ENDINGS = ['lost', 'returned', 'rejected', 'cancelled'] as const

export type Ending = (typeof ENDINGS)[number]

export function isEnding(text: string): text is Ending {
  return (ENDINGS as readonly string[]).includes(text)
}
