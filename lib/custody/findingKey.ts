import { FAULTS, type Fault } from './condition'

/** The key of something found in an event, or of a limit: split at the last `#`. */
export function joinFindingKey(of: string, found: string): string {
  return `${of}#${found}`
}

/** The receipt and the fault that a key names as `source/id#fault`; null if it ends in none. */
export function splitFaultKey(key: string): { receipt: string; fault: Fault } | null {
  const at = key.lastIndexOf('#')
  const fault = FAULTS.find((one) => one === key.slice(at + 1))
  return at > 0 && fault !== undefined ? { receipt: key.slice(0, at), fault } : null
}
