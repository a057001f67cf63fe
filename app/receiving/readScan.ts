import { findKitCodeFault, formatKitCode, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { Translate } from '@/lib/messages/translate'

/** What a text that was scanned or typed ticks in a list of these codes (null: nothing), and the sentence to answer it with. */
export function readScan(
  t: Translate,
  text: string,
  codes: readonly string[],
): { code: string | null; said: string } {
  const code = toCanonical(text)
  if (code === '') return { code: null, said: 'Scan or type the code on a label.' }
  if (codes.includes(code)) return { code, said: `${formatKitCode(code)} is ticked.` }
  if (!isKitCode(code)) return { code: null, said: t.message(findKitCodeFault(code)) }
  return {
    code: null,
    said: `${formatKitCode(code)} is not on this list: search for it on the board, it may have been received already.`,
  }
}
