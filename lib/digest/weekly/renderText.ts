import { nameBidiControls } from '@/lib/messages/bidiControls'
import type { Translate } from '@/lib/messages/translate'
import { formatLine, wrapText } from './lineText'
import type { ContentLine, ContentSection, MailContent } from './sections'

/** The plain text of a mail: it says everything that the HTML says. */
export function renderText(t: Translate, { intro, sections, footer }: MailContent): string {
  const parts = [
    ...intro.map((paragraph) => wrapText(paragraph)),
    ...sections.map((section) => renderSection(t, section)),
    // The signature separator of RFC 3676, 4.3.
    '-- ',
    ...(footer.caution ? [wrapText(footer.caution)] : []),
    wrapText(footer.statement),
    `${footer.choose.text}:\n${footer.choose.url}`,
    `${footer.stop.text}:\n${footer.stop.url}`,
    '',
  ]
  return nameBidiControls(parts.join('\n\n'))
}

function renderSection(t: Translate, { heading, note, groups, more, isOverdue }: ContentSection): string {
  return [
    wrapText(heading.toLocaleUpperCase(t.tag)),
    ...(note ? [wrapText(note)] : []),
    ...groups.flatMap((group) => [
      ...(group.heading ? [wrapText(group.heading)] : []),
      ...group.lines.map((line) => renderLine(t, line, isOverdue === true)),
    ]),
    ...(more ? [`${more.text}:\n${more.url}`] : []),
  ].join('\n\n')
}

function renderLine(t: Translate, line: ContentLine, isSectionOverdue: boolean): string {
  return `${wrapText(formatLine(t, line, isSectionOverdue), '* ')}\n  ${line.act.url}`
}
