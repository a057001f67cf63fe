'use client'

import { useSyncExternalStore } from 'react'
import { canUsePasskeys } from './passkeyCeremony'

const never = () => () => {}

/** Whether this browser has passkeys; false on the server and until scripts run. */
export function useCanUsePasskeys(): boolean {
  return useSyncExternalStore(never, canUsePasskeys, () => false)
}
