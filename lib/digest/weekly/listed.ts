/** Some of a list, and how many more. */
export function listed(all: readonly string[], most: number): string {
  const rest = all.length - most
  return rest > 0 ? `${all.slice(0, most).join(', ')} and ${rest} more` : all.join(', ')
}
