'use client'
import { createContext, type ReactNode, useContext, useSyncExternalStore } from 'react'
import type { Part } from '@/lib/judgement/hasToAct'
import { NO_ROLES } from '@/lib/policy/personRoles'

const Reading = createContext<Part>(NO_ROLES)

/** Says to what is within who reads it: what is to be done depends on whose it is. */
export function WhoReads({ part, children }: { part: Part; children: ReactNode }) {
  return <Reading value={part}>{children}</Reading>
}

/** The part in the programme of who reads the page. */
export function useReader(): Part {
  return useContext(Reading)
}

const never = () => () => {}

/** The viewer's own zone; UTC on the server and until scripts run, since the server cannot know it. */
export function useViewerZone(): string {
  return useSyncExternalStore(
    never,
    () => Intl.DateTimeFormat().resolvedOptions().timeZone,
    () => 'UTC',
  )
}
