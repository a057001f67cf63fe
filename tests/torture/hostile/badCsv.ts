import { pick, REGISTER } from '../programme'
import type { HostileRequest } from './hostileRequest'
import { strangeText } from './strangeTexts'

const COLUMNS = ['source', 'id', 'sample', 'kind', 'at', 'place', 'facts']
const ENDS = ['\n', '\r\n', '\r', '\n\n', '']

/** Rows with quotes where none belong, cells too many or too few, columns twice or unknown, and strange line ends. */
export function makeBadCsv(random: () => number, number: number): HostileRequest {
  const columns = COLUMNS.filter(() => random() < 0.95)
  if (random() < 0.1) columns.push(pick(random, COLUMNS))
  if (random() < 0.1) columns.push(...Array.from({ length: Math.floor(random() * 300) }, (_, n) => `c${n}`))
  const rows = Array.from({ length: Math.floor(random() * 8) }, (_, index) => {
    const cells = [
      ...['hostile', `${number}-${index}`, pick(random, REGISTER.kits).code, 'collected'],
      ...['2026-11-20T12:00:00Z', 'PB1', random() < 0.5 ? '' : '"{""a"": 1}"'],
    ]
    for (let change = Math.floor(random() * 3); change > 0; change--)
      cells[Math.floor(random() * cells.length)] = strangeCell(random)
    return cells.slice(0, random() < 0.1 ? 3 : undefined).join(random() < 0.05 ? ';' : ',')
  })
  const head = random() < 0.9 ? [columns.join(',')] : []
  return {
    kind: 'csv',
    body:
      (random() < 0.1 ? '\ufeff' : '') + [...head, ...rows].map((row) => row + pick(random, ENDS)).join(''),
    headers: { 'content-type': 'text/csv' },
  }
}

function strangeCell(random: () => number): string {
  const text = strangeText(random)
  const ways = [
    text,
    `"${text}`,
    `${text}"`,
    `"${text}"x`,
    `"${text.replaceAll('"', '""')}"`,
    `a"${text}"b`,
    `"${'""'.repeat(200)}`,
    `"line\nline\r\n${text}"`,
    ',,,',
  ]
  return pick(random, ways)
}
