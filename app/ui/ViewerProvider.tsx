'use client'
import { createContext, type ReactNode, useContext, useSyncExternalStore } from 'react'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import { NO_ROLES } from '@/lib/policy/personRoles'

const ViewerContext = createContext<ActingRoles>(NO_ROLES)

/** Says to what is within who reads it: what is to be done depends on whose it is. */
export function ViewerProvider({ part, children }: { part: ActingRoles; children: ReactNode }) {
  return <ViewerContext value={part}>{children}</ViewerContext>
}

/** The part in the programme of who reads the page. */
export function useViewer(): ActingRoles {
  return useContext(ViewerContext)
}

const noSubscription = () => () => {}

/** The viewer's own zone; UTC on the server and until scripts run, since the server cannot know it. */
export function useViewerZone(): string {
  return useSyncExternalStore(
    noSubscription,
    () => Intl.DateTimeFormat().resolvedOptions().timeZone,
    () => 'UTC',
  )
}
