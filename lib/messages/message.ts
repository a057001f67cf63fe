import type { GetICUArgs } from '@schummar/icu-type-parser'
import type { en } from './en'

/** The key of a message in the catalogue. */
export type MessageKey = keyof typeof en

type Arguments<K extends MessageKey, Inline> = GetICUArgs<
  (typeof en)[K],
  { ICUArgument: Inline; ICUNumberArgument: number; ICUDateArgument: never }
>

/** The names of the tags in a message: "<link>the board</link>" has one, `link`. */
type Tags<Text> = Text extends `${string}<${infer Name}>${infer Rest}`
  ? (Name extends `/${string}` ? never : Name) | Tags<Rest>
  : never

/** The values that a message takes; `Inline` is what may stand for a plain argument and what a tag makes of its inside. */
export type Values<K extends MessageKey, Inline> = Arguments<K, Inline> & {
  [Name in Tags<(typeof en)[K]>]: (inside: Inline) => Inline
}

/** The same as the rest of a function's parameters: none where the message takes no values. */
export type ValuesParameter<K extends MessageKey, Inline> = keyof Values<K, Inline> extends never
  ? []
  : [values: Values<K, Inline>]

/** The key of a message that takes no values: for tables of labels. */
export type PlainMessageKey = {
  [K in MessageKey]: keyof Values<K, string> extends never ? K : never
}[MessageKey]

/** An instant (ms UTC) as a value of a message, read in a zone (IANA name). */
export interface InstantValue {
  at: number
  zone: string
}

/** A sentence that is not yet in any language: what pure code found, for whoever shows it to put into words. JSON. */
export interface Message {
  key: MessageKey
  values: Record<string, string | number | InstantValue | Message>
}

export function message<K extends MessageKey>(
  key: K,
  ...[values]: ValuesParameter<K, string | InstantValue | Message>
): Message {
  return { key, values: (values ?? {}) as Message['values'] }
}
