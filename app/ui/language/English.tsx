'use client'
import type { ReactNode } from 'react'
import { english } from '@/lib/messages/english'
import { TranslateContext } from './browserTranslate'

/** English for what is rendered in the browser. Each language has a file of its own, so that a page loads only its own. */
export function English({ children }: { children: ReactNode }) {
  return <TranslateContext value={english}>{children}</TranslateContext>
}
