/** An instant (ms UTC) as PostgreSQL reads it, years beyond 9999 and before 1 included. */
export function toSqlInstant(at: number): string {
  const text = new Date(at).toISOString()
  if (/^\d{4}-/.test(text) && !text.startsWith('0000')) return text
  const year = new Date(at).getUTCFullYear()
  const rest = text.slice(text.indexOf('-', 1))
  return year > 0 ? `${year}${rest}` : `${String(1 - year).padStart(4, '0')}${rest.replace('Z', '+00')} BC`
}
