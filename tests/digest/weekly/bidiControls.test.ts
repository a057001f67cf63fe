import { simpleParser } from 'mailparser'
import { expect, test } from 'vitest'
import { renderMessage } from '@/lib/digest/weekly/digestMail'
import { renderHtml } from '@/lib/digest/weekly/renderHtml'
import { renderText } from '@/lib/digest/weekly/renderText'
import type { MailContent } from '@/lib/digest/weekly/sections'
import { renderCalendar } from '@/lib/judgement/renderCalendar'
import { english } from '@/lib/messages/english'

const NAME = 'Felt \u202e\u206610\u2069'
const SHOWN = 'Felt ⟨U+202E⟩⟨U+2066⟩10⟨U+2069⟩'
const CONTROL = /\p{Bidi_Control}/u
const site = { url: 'https://holdfast.example', from: 'desk@holdfast.example', secret: 'x' }

test('a mail names bidirectional controls in its subject, its reader, its text and its HTML', async () => {
  const link = { text: NAME, url: 'https://holdfast.example/' }
  const line = { act: link, why: NAME, when: NAME, isOverdue: false, isNew: false, stake: NAME }
  const group = { heading: NAME, lines: [line] }
  const content: MailContent = {
    subject: NAME,
    intro: [NAME],
    sections: [{ heading: 'Due', note: NAME, groups: [group], more: link }],
    footer: { caution: NAME, statement: NAME, choose: link, stop: link },
  }
  const mail = {
    address: 'a@holdfast.example',
    messageId: '<a@holdfast.example>',
    subject: NAME,
    text: renderText(english, content),
    html: renderHtml(english, content),
    named: [],
  }
  const sent = await simpleParser(await renderMessage(mail, NAME, site, 0, 'https://holdfast.example/stop'))
  expect(sent.subject).toBe(SHOWN)
  expect([sent.to].flat()[0]?.value[0]?.name).toBe(SHOWN)
  for (const part of [sent.text, sent.html]) {
    expect(part).toContain('⟨U+202E⟩')
    expect(part).not.toMatch(CONTROL)
  }
})

test('a calendar names them', () => {
  const entry = {
    day: 20_000,
    summary: NAME,
    description: NAME,
    path: '/due',
    uid: 'a',
    key: 'a',
    sequence: 0,
    modifiedAt: 0,
  }
  const calendar = renderCalendar(NAME, site.url, [entry])
  for (const field of ['NAME', 'SUMMARY', 'DESCRIPTION']) expect(calendar).toContain(`${field}:${SHOWN}`)
  expect(calendar).not.toMatch(CONTROL)
})
