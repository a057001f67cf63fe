import { z } from 'zod'
import { en } from './en'
import { english } from './english'
import { type InstantValue, type Message, type MessageKey, message } from './message'

const instantValue: z.ZodType<InstantValue> = z.strictObject({ at: z.number(), zone: z.string() })

const knownMessage: z.ZodType<Message> = z.object({
  key: z.custom<MessageKey>((key) => typeof key === 'string' && Object.hasOwn(en, key)),
  values: z.record(
    z.string(),
    z.union([z.string(), z.number(), instantValue, z.lazy((): z.ZodType<Message> => knownMessage)]),
  ),
})

/**
 * A fault as a draft keeps it. Another version may have written it, as plain text, under another key or with other
 * values: a general message takes its place, so that the draft keeps what was typed and still shows where a fault is.
 */
export const messageSchema: z.ZodType<Message> = knownMessage
  .refine(isComplete)
  .catch(message('setup.fault.otherVersion'))

function isComplete(one: Message): boolean {
  try {
    english.message(one)
    return true
  } catch {
    return false
  }
}
