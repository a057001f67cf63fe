import { Fragment, type ReactNode } from 'react'
import { jsxs } from '#jsx/jsx-runtime'
import type { MessageKey, Values } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

/** A message in which links, times or other parts of a page stand: `rich(t, 'due.none', { link: (text) => <a …>{text}</a> })`. */
export function rich<K extends MessageKey>(t: Translate, key: K, values: Values<K, ReactNode>): ReactNode {
  const wrapped = Object.entries<unknown>(values).map(([name, value]) => [
    name,
    typeof value === 'function' ? (inside: ReactNode) => value(toFragment(inside)) : value,
  ])
  return toFragment(t.parts<K, ReactNode>(key, Object.fromEntries(wrapped)))
}

/** The parts of a message, or of what a tag holds, as one node. They keep their places and so need no keys. */
function toFragment(parts: ReactNode): ReactNode {
  return Array.isArray(parts) ? jsxs(Fragment, { children: parts }) : parts
}
