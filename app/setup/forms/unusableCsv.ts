import { english } from '@/lib/messages/english'
import type { Message } from '@/lib/messages/message'

/** Thrown for a CSV of which no line can be read. */
export class UnusableCsv extends Error {
  constructor(readonly detail: Message) {
    super(english.message(detail))
  }
}
