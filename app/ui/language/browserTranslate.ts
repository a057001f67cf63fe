'use client'
import { createContext, use } from 'react'
import type { Translate } from '@/lib/messages/translate'

/** The translator into the language of the page. */
export const TranslateContext = createContext<Translate | null>(null)

/** The translator into the reader's language; `#translate` is this one in the browser. */
export function useTranslate(): Translate {
  const translate = use(TranslateContext)
  if (!translate) throw new Error('useTranslate is used outside of a language')
  return translate
}
