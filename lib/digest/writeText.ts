import type { Outline, OutlineLine } from './outline'

/** A digest as plain text: everything that the HTML says. */
export function writeText({ lead, sections, foot }: Outline): string {
  const parts = sections.flatMap(({ heading, note, groups, more }) => [
    heading.toUpperCase(),
    ...(note ? [note] : []),
    ...groups.flatMap((group) => [...(group.heading ? [group.heading] : []), ...group.lines.map(textLine)]),
    ...(more ? [`${more.text}:\n${more.url}`] : []),
  ])
  return [
    lead,
    ...parts,
    '-- ',
    foot.standing,
    `${foot.choose.text}: ${foot.choose.url}`,
    `${foot.stop.text}: ${foot.stop.url}`,
    '',
  ].join('\n\n')
}

function textLine({ act, why, when, isOverdue }: OutlineLine): string {
  return `* ${isOverdue ? 'OVERDUE: ' : ''}${act.text}: ${why}${when ? `, ${when}` : ''}.\n  ${act.url}`
}
