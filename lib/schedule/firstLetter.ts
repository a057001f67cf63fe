/** The text with its first letter a capital, to begin a sentence. */
export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** The text with its first letter small, to go on in a sentence. */
export function lowered(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1)
}
