const KIB = 1024
const MIB = 1024 * KIB

/** The most that one body may bring. What is larger is sent in parts; `npm run load` cuts files up. */
export const LIMITS = {
  /**
   * Bytes of a body of events. 20,000 usual events take 4 MB; the text and the events read from it take about ten times
   * its bytes of memory.
   */
  eventBytes: 8 * MIB,
  /** Bytes of a register: 100,000 kits take 15 MB, and a register cannot be sent in parts. */
  registerBytes: 16 * MIB,
  /** Bytes of a form of the set-up with its list: 5,000 lines of 400 bytes. */
  formBytes: 2 * MIB,
  /** Lines of a list for the set-up; each is checked as a form is. */
  listLines: 5_000,
  /** Bytes of a form or an object that records by hand: a hundred kits and their texts. */
  handBytes: 256 * KIB,
  /** Bytes above which a body is a bulk body, of which each principal may send one at a time. */
  bulkBytes: 256 * KIB,
  /** Refusals of one answer that are told in full; the others are named and counted. */
  fullRefusals: 100,
} as const

/** The most that the items of one body may bring. */
export interface ItemLimits {
  items: number
  /** Columns of a CSV. */
  columns: number
  /** Levels of nesting within an item. */
  depth: number
  /** Characters of an item as sent. */
  length: number
}

/** Facts have at most 16,384 characters, each written with at most six: no event that can be accepted is longer. */
export const ITEM_LIMITS: ItemLimits = { items: 20_000, columns: 200, depth: 32, length: 128 * KIB }

/** The limits of files that a command reads on its own machine. */
export const UNLIMITED: ItemLimits = {
  items: Number.POSITIVE_INFINITY,
  columns: Number.POSITIVE_INFINITY,
  depth: Number.POSITIVE_INFINITY,
  length: Number.POSITIVE_INFINITY,
}

/** The most of a register document. An entry is parsed in one step, so it must not take longer than one. */
export const DOCUMENT_LIMITS = { entries: 100_000, entryLength: MIB, entryValues: 10_000, depth: 32 }

/** What a body has too much of. */
const SUBJECTS = {
  items: {
    noun: 'items',
    advice: 'Send it in parts, or load the file with npm run load, which cuts it up.',
  },
  columns: {
    noun: 'columns',
    advice: 'Send only the columns that you need; several facts can share the column `facts` as JSON.',
  },
  entries: { noun: 'entries', advice: 'Leave out those that are long past.' },
  characters: { noun: 'characters in one entry', advice: 'Make the entry shorter.' },
  values: { noun: 'values in one entry', advice: 'Make the entry shorter.' },
  levels: { noun: 'levels in one entry', advice: 'Make the entry flatter.' },
} as const

/** A body beyond a limit that refuses the whole of it. The message goes to the sender; `what` names the problem's type. */
export class BodyLimitError extends Error {
  constructor(
    readonly what: keyof typeof SUBJECTS,
    max: number,
  ) {
    const { noun, advice } = SUBJECTS[what]
    super(`The body has more than ${max} ${noun}. Nothing was stored. ${advice}`)
  }
}

const MAX_QUOTED = 100

/** A text from outside as a message quotes it: cut short, whole characters. */
export function quote(text: string): string {
  if (text.length <= MAX_QUOTED) return text
  const cut = text.slice(0, MAX_QUOTED)
  return `${/[\uD800-\uDBFF]$/.test(cut) ? cut.slice(0, -1) : cut}…`
}
