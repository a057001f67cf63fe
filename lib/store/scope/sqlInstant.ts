/** An instant (ms UTC) as PostgreSQL parses it, including years before 1 and after 9999. */
export function toSqlInstant(at: number): string {
  const text = new Date(at).toISOString()
  if (/^\d{4}-/.test(text) && !text.startsWith('0000')) return text
  const year = new Date(at).getUTCFullYear()
  const rest = text.slice(text.indexOf('-', 1))
  return year > 0 ? `${year}${rest}` : `${String(1 - year).padStart(4, '0')}${rest.replace('Z', '+00')} BC`
}
