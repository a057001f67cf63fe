'use client'
import { createContext, use } from 'react'
import type { OtherBox } from '@/lib/intake/hand/receiptForm'
import type { Message } from '@/lib/messages/message'
import type { KnownKits } from './readScan'

/** What the parts of the receiving form share while someone fills it in. */
export interface Desk {
  /** Names of the boxes whose conditions are open. */
  opened: ReadonlySet<string>
  /** The boxes that are on no list. */
  others: readonly OtherBox[]
  /** What is known of kits that are on no list, by code. */
  known: KnownKits
  /** The box whose condition was opened last by someone here. */
  focused: { name: string } | null
  /** The answer to the last scan. */
  answer: Message | null
}

export const DeskContext = createContext<Desk | null>(null)

export function useDesk(): Desk {
  const desk = use(DeskContext)
  if (!desk) throw new Error('useDesk is used outside of the receiving form')
  return desk
}
