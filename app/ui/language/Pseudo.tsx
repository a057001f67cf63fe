'use client'
import type { ReactNode } from 'react'
import { pseudo } from '@/lib/messages/pseudo'
import { TranslateContext } from './browserTranslate'

/** The pseudo-locale for what is rendered in the browser. */
export function Pseudo({ children }: { children: ReactNode }) {
  return <TranslateContext value={pseudo}>{children}</TranslateContext>
}
