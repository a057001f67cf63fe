'use client'

import { createContext, type ReactNode, useContext } from 'react'
import { NO_ROLES } from '@/lib/custody/personRoles'
import type { Part } from '@/lib/schedule/hasToAct'

const Reading = createContext<Part>(NO_ROLES)

/** Says to what is within who reads it: what is to be done depends on whose it is. */
export function WhoReads({ part, children }: { part: Part; children: ReactNode }) {
  return <Reading value={part}>{children}</Reading>
}

/** The part in the programme of who reads the page. */
export function useReader(): Part {
  return useContext(Reading)
}
