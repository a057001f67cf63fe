/**
 * Secrets that an address, a header or an error may hold, with what replaces each. A replacement has no quote and no
 * backslash, and no pattern takes one, so a line of JSON stays one.
 */
const SECRETS: readonly (readonly [RegExp, string])[] = [
  // API keys, also within a header.
  [/\bhfk_[\w-]+/g, 'hfk_[secret]'],
  // RFC 6750 and RFC 7617.
  [/\b(Bearer|Basic)\s+[\w.~+/=-]{8,}/gi, '$1 [secret]'],
  // The address of a calendar feed is its secret.
  [/(\/api\/calendar\/)[^\s"'\\/?#)\]]+/g, '$1[secret]'],
  // Links to sign in and to unsubscribe, one-time codes, and keys in an address.
  [/([?&](?:token|code|secret|key|password)=)[^\s"'\\&#)\]]+/gi, '$1[secret]'],
  // Cookies of a session, by the names that the sign-in library gives them.
  [/\b((?:__Secure-|__Host-)?[\w.-]*session[\w.-]*=)[^\s"'\\;]+/gi, '$1[secret]'],
  // User and password of a database or a mail server.
  [/(\/\/)[^\s"'\\/@]+@/g, '$1[secret]@'],
  [/[\w.+%-]+@[\w-]+(?:\.[\w-]+)+/g, '[mail address]'],
]

/** A text without secrets and mail addresses: for logs, which more people read than may sign in. */
export function redact(text: string): string {
  return SECRETS.reduce((rest, [pattern, by]) => rest.replace(pattern, by), text)
}
