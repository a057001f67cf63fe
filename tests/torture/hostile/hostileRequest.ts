/** A request that no well-meaning client sends. */
export interface HostileRequest {
  /** What it is, for the report of a fault. */
  kind: string
  body: string | Uint8Array<ArrayBuffer>
  headers: Record<string, string>
  /** It cannot be read as a JSON object, so it may go where a register is expected without changing one. */
  isUnreadable?: boolean
}
