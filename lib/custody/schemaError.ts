import { z } from 'zod'
import { type Message, message } from '@/lib/messages/message'

const messageText = z.object({ key: z.string(), values: z.record(z.string(), z.unknown()) })

/** A message as the error text of a zod schema, which is a string. */
export function toSchemaError(found: Message): string {
  return JSON.stringify(found)
}

/** The message of a zod issue: ours, or a general one for what zod itself found. */
export function readSchemaError(text: string): Message {
  const parsed = messageText.safeParse(parseJson(text)).data
  if (parsed) return parsed as Message
  if (text.endsWith('received undefined')) return message('register.missing')
  return message('register.shape', { detail: text })
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}
