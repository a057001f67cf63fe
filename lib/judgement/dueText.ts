import { formatKitCode } from '@/lib/custody/kitCode'
import type { Translate } from '@/lib/messages/translate'
import { ACTS, type ActKind, type Actor } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import { OVERDUE, type Overdue } from '@/lib/schedule/overdueKinds'
import type { OwedTest } from '@/lib/schedule/owedTests'
import { formatFailure } from '@/lib/schedule/progress'

// Kit codes are written in one way for all, mails included.
export { formatKitCode }

/** Names of plants and laboratories, and of products, by their codes, as far as they have one. */
export interface Names {
  places: ReadonlyMap<string, string>
  products: ReadonlyMap<string, string>
}

/** What to do, as a sentence without its end, and why, as the rest of it: "Cut 7KQ2-M94Y", "its day has passed". */
export interface ActText {
  act: string
  why: string
}

/**
 * What something overdue asks for, and why. Since when is for whoever knows the reader's zone to add. `more` is said of
 * it in brackets: "Cut 7KQ2-M94Y (loop tile, Aspen Mill)".
 */
export function describeOverdue(
  t: Translate,
  overdue: Overdue,
  names: Names,
  more: readonly string[] = [],
): ActText {
  const { kind, sample, product, reason } = overdue
  const what = sample === null ? getProductName(t, product, names) : formatKitCode(sample)
  const { asks, why } = OVERDUE[kind]
  return { act: capitalised(asks(what + formatBrackets(more))), why: why ?? formatFailure(t, reason) }
}

/**
 * What acts of a test that are due on one day ask for: "Cut 7KQ2-M94Y and hand it to the carrier". `more` is said of it
 * in brackets.
 */
export function describeActs(
  t: Translate,
  kinds: readonly ActKind[],
  owed: OwedTest,
  names: Names,
  more: readonly string[] = [],
): string {
  const what =
    (owed.kit === null ? getProductName(t, owed.product, names) : formatKitCode(owed.kit)) +
    formatBrackets(more)
  const text = kinds.map((kind, index) => ACTS[kind].asks(index === 0 ? what : 'it')).join(' and ')
  return capitalised(text)
}

function formatBrackets(words: readonly string[]): string {
  return words.length === 0 ? '' : ` (${words.join('; ')})`
}

/** Who has to act, by name: "the programme", "Aspen Mill". */
export function getActorName(t: Translate, actor: Actor, { places }: Names): string {
  return actor.by === 'programme' ? 'the programme' : (places.get(actor.code) ?? actor.code)
}

/** The name of a product; its code where it has none. */
export function getProductName(t: Translate, code: string | null, { products }: Names): string {
  return code === null ? 'a product not named yet' : (products.get(code) ?? code)
}
