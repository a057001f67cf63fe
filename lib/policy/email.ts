/** The form in which addresses identify people. */
export function normalizeEmail(given: string): string {
  return given.trim().toLowerCase()
}

export function isEmail(text: string): boolean {
  return text.length <= 254 && /^[^\s<>@]+@[^\s<>@]+\.[^\s<>@.]+$/.test(text)
}
