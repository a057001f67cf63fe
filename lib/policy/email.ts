/** An e-mail address as people are known by. */
export function normalizeEmail(given: string): string {
  return given.trim().toLowerCase()
}

/** Whether a text has the form of an e-mail address. */
export function isEmail(text: string): boolean {
  return text.length <= 254 && /^[^\s<>@]+@[^\s<>@]+\.[^\s<>@.]+$/.test(text)
}
