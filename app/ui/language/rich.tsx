import { Fragment, type ReactNode } from 'react'
import type { MessageKey, Values } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

/** A message in which links, times or other parts of a page stand: `rich(t, 'due.none', { link: (text) => <a …>{text}</a> })`. */
export function rich<K extends MessageKey>(t: Translate, key: K, values: Values<K, ReactNode>): ReactNode {
  return t.parts<K, ReactNode>(key, values).map((part, index) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: the parts of a sentence keep their places
    <Fragment key={index}>{part}</Fragment>
  ))
}
