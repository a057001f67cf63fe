import type { Outline, OutlineLine, OutlineSection } from './sections'
import { sentenceOf, wrapped } from './sentence'

/** A digest as plain text: everything that the HTML says. */
export function writeText({ lead, sections, foot }: Outline): string {
  return [
    ...lead.split('\n').map((paragraph) => wrapped(paragraph)),
    ...sections.map(textSection),
    '-- ',
    ...(foot.caution ? [wrapped(foot.caution)] : []),
    wrapped(foot.standing),
    `${foot.choose.text}:\n${foot.choose.url}`,
    `${foot.stop.text}:\n${foot.stop.url}`,
    '',
  ].join('\n\n')
}

function textSection({ heading, note, groups, more, isOverdue }: OutlineSection): string {
  return [
    wrapped(heading.toUpperCase()),
    ...(note ? [wrapped(note)] : []),
    ...groups.flatMap((group) => [
      ...(group.heading ? [wrapped(`${group.heading}`)] : []),
      ...group.lines.map((line) => textLine(line, isOverdue === true)),
    ]),
    ...(more ? [`${more.text}:\n${more.url}`] : []),
  ].join('\n\n')
}

function textLine(line: OutlineLine, isSaid: boolean): string {
  return `${wrapped(sentenceOf(line, isSaid), '* ')}\n  ${line.act.url}`
}
