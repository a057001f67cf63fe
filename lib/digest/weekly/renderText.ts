import type { Translate } from '@/lib/messages/translate'
import { formatLine, wrapText } from './lineText'
import type { ContentLine, ContentSection, MailContent } from './sections'

/** A digest as plain text: everything that the HTML says. */
export function renderText(t: Translate, { intro: lead, sections, footer: foot }: MailContent): string {
  return [
    ...lead.split('\n').map((paragraph) => wrapText(paragraph)),
    ...sections.map((one) => renderSection(t, one)),
    '-- ',
    ...(foot.caution ? [wrapText(foot.caution)] : []),
    wrapText(foot.standing),
    `${foot.choose.text}:\n${foot.choose.url}`,
    `${foot.stop.text}:\n${foot.stop.url}`,
    '',
  ].join('\n\n')
}

function renderSection(t: Translate, { heading, note, groups, more, isOverdue }: ContentSection): string {
  return [
    wrapText(heading.toUpperCase()),
    ...(note ? [wrapText(note)] : []),
    ...groups.flatMap((group) => [
      ...(group.heading ? [wrapText(`${group.heading}`)] : []),
      ...group.lines.map((line) => renderLine(t, line, isOverdue === true)),
    ]),
    ...(more ? [`${more.text}:\n${more.url}`] : []),
  ].join('\n\n')
}

function renderLine(t: Translate, line: ContentLine, isSaid: boolean): string {
  return `${wrapText(formatLine(t, line, isSaid), '* ')}\n  ${line.act.url}`
}
