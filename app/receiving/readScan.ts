import { findKitCodeFault, formatKitCode, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { type Message, message } from '@/lib/messages/message'

/** The code that a scanned or typed text ticks in a list of `codes` (null: none), and the answer to show. */
export function readScan(text: string, codes: readonly string[]): { code: string | null; answer: Message } {
  const canonical = toCanonical(text)
  const code = formatKitCode(canonical)
  if (canonical === '') return { code: null, answer: message('receiving.scan.empty') }
  if (codes.includes(canonical))
    return { code: canonical, answer: message('receiving.scan.ticked', { code }) }
  if (!isKitCode(canonical)) return { code: null, answer: findKitCodeFault(canonical) }
  return { code: null, answer: message('receiving.scan.notListed', { code }) }
}
