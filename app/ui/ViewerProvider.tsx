'use client'
import { createContext, type ReactNode, useContext, useSyncExternalStore } from 'react'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import { NO_ROLES } from '@/lib/policy/personRoles'

const ViewerContext = createContext<ActingRoles>(NO_ROLES)

/** Provides the roles of the person who reads the page: what they have to do depends on these. */
export function ViewerProvider({ roles, children }: { roles: ActingRoles; children: ReactNode }) {
  return <ViewerContext value={roles}>{children}</ViewerContext>
}

/** The roles of the person who reads the page. */
export function useViewer(): ActingRoles {
  return useContext(ViewerContext)
}

const noSubscription = () => () => {}

/** The browser's time zone; UTC on the server and until scripts run, since the server cannot know it. */
export function useViewerZone(): string {
  return useSyncExternalStore(
    noSubscription,
    () => Intl.DateTimeFormat().resolvedOptions().timeZone,
    () => 'UTC',
  )
}
