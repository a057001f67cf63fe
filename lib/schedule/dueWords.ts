import { displayCode } from '@/lib/custody/kitCode'
import { type ActKind, type Actor, ACTS } from './act'
import { failedWords } from './failedWords'
import { capitalised } from './firstLetter'
import { askCarrier } from './nextStep'
import type { Overdue } from './overdue'
import type { Owed } from './owed'
import { issueReplacement } from './replaceWords'

// Kit codes are written in one way for all, mails included.
export { displayCode }

/** Names of plants and laboratories, and of products, by their codes, as far as they have one. */
export interface Names {
  places: ReadonlyMap<string, string>
  products: ReadonlyMap<string, string>
}

/** What to do, as a sentence without its end, and why, as the rest of it: "Cut 7KQ2-M94Y", "its day has passed". */
export interface AskedWords {
  act: string
  why: string
}

/**
 * What something overdue asks for, and why. Since when is for whoever knows the reader's zone to add. `more` is said of
 * it in brackets: "Cut 7KQ2-M94Y (loop tile, Aspen Mill)".
 */
export function overdueWords(overdue: Overdue, names: Names, more: readonly string[] = []): AskedWords {
  const kit = overdue.sample === null ? 'it' : displayCode(overdue.sample) + inBrackets(more)
  switch (overdue.kind) {
    case 'duty with no kit':
      return {
        act: `Issue a kit for ${productName(overdue.product, names)}${inBrackets(more)}`,
        why: 'a test of it is owed, and no kit was issued',
      }
    case 'kit not posted':
      return { act: `Post kit ${kit}`, why: 'it was issued and has not left' }
    case 'not cut':
      return { act: capitalised(ACTS.cut.asks(kit)), why: 'the day for it has passed' }
    case 'not handed over':
      return { act: capitalised(ACTS['hand over'].asks(kit)), why: 'it is cut, and its pickup has passed' }
    case 'under way too long':
      return {
        act: capitalised(askCarrier(kit)),
        why: 'it has been under way longer than 95 of 100 on its lane',
      }
    case 'delivered but not received':
      return { act: capitalised(ACTS.receive.asks(kit)), why: 'the carrier says that it was delivered' }
    case 'not loaded in time':
      return { act: capitalised(ACTS.load.asks(kit)), why: 'it has arrived, and its test has not begun' }
    case 'lapsed with no re-collection':
      return {
        act: capitalised(issueReplacement(kit)),
        why: failedWords(overdue.reason),
      }
    case 'deviation with no ruling':
      return { act: `Rule on the deviation of ${kit}`, why: 'something was found wrong with it' }
    case 'form copy missing':
      return { act: `Send the copy of the form of ${kit}`, why: 'it has left, and no copy has come' }
    case 'report late':
      return { act: capitalised(ACTS.report.asks(kit)), why: 'the day for it has passed' }
  }
}

/**
 * What acts of a test that are due on one day ask for: "Cut 7KQ2-M94Y and hand it to the carrier". `more` is said of it
 * in brackets.
 */
export function actWords(
  kinds: readonly ActKind[],
  owed: Owed,
  names: Names,
  more: readonly string[] = [],
): string {
  const what =
    (owed.kit === null ? productName(owed.product, names) : displayCode(owed.kit)) + inBrackets(more)
  const text = kinds.map((kind, index) => ACTS[kind].asks(index === 0 ? what : 'it')).join(' and ')
  return capitalised(text)
}

function inBrackets(words: readonly string[]): string {
  return words.length === 0 ? '' : ` (${words.join('; ')})`
}

/** Who has to act, by name: "the programme", "Aspen Mill". */
export function actorName(actor: Actor, { places }: Names): string {
  return actor.by === 'programme' ? 'the programme' : (places.get(actor.code) ?? actor.code)
}

/** The name of a product; its code where it has none. */
export function productName(code: string | null, { products }: Names): string {
  return code === null ? 'a product not named yet' : (products.get(code) ?? code)
}
