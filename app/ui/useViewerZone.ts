'use client'

import { useSyncExternalStore } from 'react'

const never = () => () => {}

/** The viewer's own zone; UTC on the server and until scripts run, since the server cannot know it. */
export function useViewerZone(): string {
  return useSyncExternalStore(
    never,
    () => Intl.DateTimeFormat().resolvedOptions().timeZone,
    () => 'UTC',
  )
}
