import { z } from 'zod'
import { en } from './en'
import type { Message, MessageKey } from './message'

/** A message as it is kept as JSON. One whose key the catalogue no longer has is refused. */
export const messageSchema: z.ZodType<Message> = z.object({
  key: z.custom<MessageKey>((key) => typeof key === 'string' && Object.hasOwn(en, key)),
  values: z.record(
    z.string(),
    z.union([z.string(), z.number(), z.lazy((): z.ZodType<Message> => messageSchema)]),
  ),
})
