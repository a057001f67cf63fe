import { describe, expect, test } from 'vitest'
import { readDraft } from '@/app/setup/draft'
import { message } from '@/lib/messages/message'
import { messageSchema } from '@/lib/messages/messageSchema'

const OTHER_VERSION = message('setup.fault.otherVersion')

describe('a message in a draft', () => {
  test('is read as it was kept, with the messages in it', () => {
    const kept = message('intake.row.unreadable', { fault: message('csv.openQuote') })
    expect(messageSchema.parse(JSON.parse(JSON.stringify(kept)))).toEqual(kept)
  })

  test.each([
    ['plain text', 'Give it a name.'],
    ['an unknown key', { key: 'setup.fault.goneLongAgo', values: {} }],
    [
      'an unknown key within',
      { key: 'intake.row.unreadable', values: { fault: { key: 'gone', values: {} } } },
    ],
    ['a value that is missing', { key: 'setup.fault.missingColumn', values: { name: 'code' } }],
  ])('from another version, with %s, becomes a general one', (_, kept) => {
    expect(messageSchema.parse(kept)).toEqual(OTHER_VERSION)
  })
})

test('a draft from before messages had keys keeps what was typed, and its lines with faults', () => {
  const draft = {
    list: 'plants',
    edits: [],
    holdsFromAt: null,
    values: { code: 'PL1' },
    problems: [{ field: 'name', detail: 'Give it a name.' }],
    lines: [{ line: 2, detail: 'It has 4 cells and the header 3.' }],
  }
  expect(readDraft(draft)).toEqual({
    ...draft,
    problems: [{ field: 'name', detail: OTHER_VERSION }],
    lines: [{ line: 2, detail: OTHER_VERSION }],
  })
})
