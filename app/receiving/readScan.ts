import { findKitCodeFault, formatKitCode, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { type Message, message } from '@/lib/messages/message'

/** What is known of kits that are on no list, by code. */
export type KnownKits = Readonly<Record<string, { text: string; isReceived: boolean }>>

/** What a scan does on the page to the box of a code: ticks it, opens its condition, or adds it as one that is on no list. */
export type Scan =
  | { act: 'tick' | 'open' | 'add'; code: string; answer: Message }
  | { act: null; answer: Message }

/** The three characters that a scanner may send before a code, to name its symbology (ISO/IEC 15424): `]`, a letter, a modifier. */
const SYMBOLOGY = /\][A-Za-z][0-9A-Za-z]/.source

/** What a scanner adds around a code goes: line ends, tabs, the group separator of GS1 and the name of the symbology. */
function stripScannerMarks(text: string): string {
  return text
    .replace(/\p{Cc}/gu, ' ')
    .trim()
    .replace(new RegExp(`^${SYMBOLOGY}`), '')
}

/** Reads a scanned or typed text. `listed`: the kits of the list. `ticked`: the boxes that are to be received so far. `known`: what is known of others, by code. */
export function readScan(
  text: string,
  listed: readonly string[],
  ticked: readonly string[],
  known: KnownKits,
): Scan {
  const canonical = toCanonical(stripScannerMarks(text))
  const code = formatKitCode(canonical)
  if (canonical === '') return { act: null, answer: message('receiving.scan.empty') }
  if (!isKitCode(canonical)) return { act: null, answer: findKitCodeFault(canonical) }
  if (ticked.includes(canonical))
    return { act: 'open', code: canonical, answer: message('receiving.scan.opened', { code }) }
  if (listed.includes(canonical))
    return { act: 'tick', code: canonical, answer: message('receiving.scan.ticked', { code }) }
  const what = Object.hasOwn(known, canonical) ? known[canonical] : undefined
  if (what?.isReceived)
    return { act: null, answer: message('receiving.scan.received', { code, known: what.text }) }
  const answer =
    what === undefined
      ? message('receiving.scan.notListed', { code })
      : message('receiving.scan.notAwaited', { code, known: what.text })
  return { act: 'add', code: canonical, answer }
}

/** The kit code at the end of what was typed into another field, and from where on: a scanner types wherever the focus is. */
export function splitScan(text: string): { before: string; from: number; code: string } | null {
  const found = new RegExp(
    `(?:${SYMBOLOGY})?\\p{Cc}*([0-9A-Za-z]{4}-?[0-9A-Za-z]{4})[\\s\\p{Cc}]*$`,
    'u',
  ).exec(text)
  const code = toCanonical(found?.[1] ?? '')
  return found && isKitCode(code)
    ? { before: text.slice(0, found.index).trim(), from: found.index, code }
    : null
}

/** A name that no box of the form has yet, for one whose code nobody can read. */
export function createBoxName(taken: readonly string[]): string {
  let number = 1
  while (taken.includes(`box${number}`)) number += 1
  return `box${number}`
}
