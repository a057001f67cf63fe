import { randomBytes } from 'node:crypto'

/** A token for one form: 128 random bits. */
export function createFormToken(): string {
  return randomBytes(16).toString('base64url')
}
