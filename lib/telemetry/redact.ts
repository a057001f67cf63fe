/**
 * Secrets that an address, a header or an error may hold, with what replaces each. No pattern takes a
 * quote or a backslash away, and no replacement brings one, so a line of JSON stays one. An error can hold a long text from outside: each
 * pattern begins only where its run of characters does, so that its time grows no faster than the text.
 */
const SECRETS: readonly (readonly [RegExp, string])[] = [
  // API keys, also within a header.
  [/\bhfk_[\w-]+/g, 'hfk_[secret]'],
  // Keys of backups, as age writes them.
  [/\bAGE-SECRET-KEY-1\w+/g, 'AGE-SECRET-KEY-1[secret]'],
  // RFC 6750 and RFC 7617.
  [/\b(Bearer|Basic)\s+[\w.~+/=-]{8,}/gi, '$1 [secret]'],
  // The address of a calendar feed is its secret. An address within an address is percent-encoded, here and below.
  [/((?:\/|%2F)api(?:\/|%2F)calendar(?:\/|%2F))[^\s"'\\/?#&)\]]+/gi, '$1[secret]'],
  // Links to sign in and to unsubscribe, one-time codes, and keys in an address.
  [/((?:[?&]|%3F|%26)(?:token|code|secret|key|password)(?:=|%3D))[^\s"'\\&#)\]]+/gi, '$1[secret]'],
  // The same as a field of an object that an error shows.
  [/((?:token|secret|password)\\*["']?\s*:\s*\\*["'])[^\s"'\\]+/gi, '$1[secret]'],
  // Cookies of a session, by the names that the sign-in library gives them.
  [/(?<![\w.-])(?=[\w.-]*session)([\w.-]+=)[^\s"'\\;]+/gi, '$1[secret]'],
  // User and password of a database or a mail server.
  [/(\/\/)[^\s"'\\/@]+@/g, '$1[secret]@'],
  // Names and hosts in any script (RFC 6531).
  [
    /(?<![\p{L}\p{M}\p{N}_.+%-])[\p{L}\p{M}\p{N}_.+%-]+(?:@|%40)[\p{L}\p{M}\p{N}-]+(?:\.[\p{L}\p{M}\p{N}-]+)+/giu,
    '[mail address]',
  ],
]

/** A text without secrets and mail addresses: for logs, which more people read than may sign in. */
export function redact(text: string): string {
  return SECRETS.reduce((rest, [pattern, by]) => rest.replace(pattern, by), text)
}
