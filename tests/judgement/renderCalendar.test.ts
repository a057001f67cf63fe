import fc from 'fast-check'
import nodeIcal, { type VEvent } from 'node-ical'
import { convertIcsCalendar } from 'ts-ics'
import { expect, test } from 'vitest'
import { formatIsoDate, parseIsoDate } from '@/lib/hold/zone'
import { renderCalendar, type StampedEntry } from '@/lib/judgement/renderCalendar'
import { ms } from '../custody/desk'
import { chooseUsualOrLong } from '../setup/usualOrLong'

const URL = 'https://desk.example'
const entry = (changes: Partial<StampedEntry> = {}): StampedEntry => ({
  key: 'due/YEARLY/1/report',
  uid: 'a1b2',
  sequence: 3,
  modifiedAt: ms('2026-11-28T10:20:30Z'),
  day: parseIsoDate('2026-11-30') as number,
  summary: 'Cut AAAA-2222 and hand it to the carrier',
  description: 'At the latest on 2026-11-30.',
  path: '/samples/AAAA2222?record=form+copy&on=a%2Cb%3Bc#record',
  ...changes,
})

/** The unfolded lines of a calendar; expects each line to be at most 75 octets of whole UTF-8 and to end with CRLF. */
function contentLines(text: string): string[] {
  const bytes = Buffer.from(text, 'utf8')
  expect(text.endsWith('\r\n')).toBe(true)
  const lines: string[] = []
  for (let from = 0; from < bytes.length; ) {
    const to = bytes.indexOf('\r\n', from)
    const line = bytes.subarray(from, to)
    expect(line.length).toBeLessThanOrEqual(75)
    const read = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(line)
    // No lone CR or LF, and no control but the tab (RFC 5545, 3.1).
    expect(read).not.toMatch(/(?!\t)\p{Cc}/u)
    if (read.startsWith(' ')) lines.push(lines.pop() + read.slice(1))
    else lines.push(read)
    from = to + 2
  }
  return lines
}

/** The events as two independent parsers read them. */
function readBack(text: string) {
  const first = Object.values(nodeIcal.sync.parseICS(text)).filter(
    (one): one is VEvent => typeof one === 'object' && one?.type === 'VEVENT',
  )
  const second = convertIcsCalendar(undefined, text).events ?? []
  return { first, second }
}

test('an event is all-day, with its version and last revision', () => {
  const text = renderCalendar('Due at Cork', URL, [entry()])
  expect(contentLines(text)).toEqual(
    expect.arrayContaining([
      'BEGIN:VCALENDAR',
      'VERSION:2.0',
      'UID:a1b2',
      'SEQUENCE:3',
      'DTSTAMP:20261128T102030Z',
      'LAST-MODIFIED:20261128T102030Z',
      'DTSTART;VALUE=DATE:20261130',
      'DTEND;VALUE=DATE:20261201',
      'TRANSP:TRANSPARENT',
      `URL;VALUE=URI:${URL}${entry().path}`,
    ]),
  )
  const { first, second } = readBack(text)
  expect(first).toMatchObject([{ uid: 'a1b2', sequence: '3', datetype: 'date', summary: entry().summary }])
  expect(second).toMatchObject([
    {
      uid: 'a1b2',
      sequence: 3,
      summary: entry().summary,
      start: { type: 'DATE', date: new Date('2026-11-30') },
      end: { type: 'DATE', date: new Date('2026-12-01') },
      stamp: { date: new Date('2026-11-28T10:20:30Z') },
      lastModified: { date: new Date('2026-11-28T10:20:30Z') },
    },
  ])
})

test.each(['2024-02-28', '2026-02-28', '2026-12-31', '2026-03-29', '2026-10-25', '1999-12-31'])(
  'the end is the day after %s',
  (date) => {
    const day = parseIsoDate(date) as number
    const [event] = readBack(renderCalendar('Due', URL, [entry({ day })])).second
    expect(event?.start.date.toISOString().slice(0, 10)).toBe(date)
    expect(event?.end?.date.toISOString().slice(0, 10)).toBe(formatIsoDate(day + 1))
  },
)

test('an empty calendar still has a component', () => {
  const text = renderCalendar('Due at Cork', URL, [])
  expect(contentLines(text).filter((line) => line.startsWith('BEGIN:'))).toEqual([
    'BEGIN:VCALENDAR',
    'BEGIN:VTIMEZONE',
    'BEGIN:STANDARD',
  ])
  expect(readBack(text)).toEqual({ first: [], second: [] })
})

/** Hostile names: commas, line ends, text like a property, letters of every script. */
const hostile = fc
  .array(
    fc.oneof(
      fc.string({ unit: 'binary', maxLength: 60 }),
      fc.string({ unit: 'grapheme', maxLength: 60 }),
      fc.constantFrom(
        '\r\n',
        '\n',
        '\r',
        '\\n',
        '\\',
        ';',
        ',',
        ':',
        '"',
        ' ',
        '\t',
        '\u2028',
        '\u0085',
        '\ufeff',
        '\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:evil\r\n',
        'DTEND;VALUE=DATE:20990101',
        '😀'.repeat(30),
        'é'.repeat(80),
      ),
    ),
    { maxLength: 8 },
  )
  .map((parts) => parts.join(''))

/** A text as a calendar can hold it: without controls, with uniform line ends. */
function asText(text: string): string {
  return text.replace(/\r\n?|[\u0085\u2028\u2029]/g, '\n').replace(/(?![\t\n])\p{Cc}/gu, '')
}

function expectRead(
  events: readonly { uid?: string; summary?: unknown; description?: unknown }[],
  told: string[],
) {
  expect(events.map(({ uid }) => uid)).toEqual(['a1b2', 'b'])
  expect([events[0]?.summary, events[0]?.description]).toEqual(told)
}

test('both parsers read any name of a plant or product back unchanged, and no further event', () => {
  fc.assert(
    fc.property(
      hostile,
      hostile,
      hostile,
      fc.integer({ min: -3000, max: 60_000 }),
      (name, product, description, day) => {
        const summary = `Cut ${product}`
        const text = renderCalendar(name, URL, [
          entry({ summary, description, day }),
          entry({ uid: 'b', day }),
        ])
        const lines = contentLines(text)
        expect(lines.filter((line) => line === 'BEGIN:VEVENT').length).toBe(2)
        expect(lines.filter((line) => /^(UID|DTEND)/.test(line)).length).toBe(4)
        const written = [asText(summary), `${asText(description)}\n${URL}${entry().path}`]
        // ts-ics 2.4.6 cuts events out at END:VEVENT wherever it stands; node-ical 0.24.0 takes an escaped backslash
        // before an n for the end of a line (RFC 5545, 3.3.11). Each is asked what it can read.
        const all = summary + description + name
        if (!/VEVENT/i.test(all)) expectRead(readBack(text).second, written)
        if (!/\\n/i.test(all)) expectRead(readBack(text).first, written)
      },
    ),
    { numRuns: chooseUsualOrLong({ usual: 100, long: 300 }) },
  )
})
