import { capitalised } from '@/lib/schedule/firstLetter'
import type { Outline, OutlineLine, OutlineSection } from './sections'
import { markOf } from './sentence'

const WORDS = "Charter, Georgia, 'Liberation Serif', serif"
const LABELS = "-apple-system, 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', sans-serif"
const CELL = 'padding: 0 20px'

/**
 * A digest as HTML for mail programs: one table of 600 px that narrows with its window, every style beside what it
 * styles, since some programs drop a style sheet; dark colours in one, for those that keep it.
 */
export function writeHtml(outline: Outline): string {
  const { subject, lead, sections, foot } = outline
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="supported-color-schemes" content="light dark">
<title>${escaped(subject)}</title>
<style>
:root { color-scheme: light dark; }
@media (prefers-color-scheme: dark) {
  .paper { background: #15191b !important; }
  .ink { color: #e8e4da !important; }
  .quiet { color: #a3abae !important; }
  .blue { color: #93c0de !important; }
  .brick { color: #ee8f7b !important; }
  .hair { border-color: #3a4246 !important; }
}
</style>
</head>
<body class="paper" style="margin: 0; padding: 0; background: #fbfaf6">
<table role="presentation" class="paper" width="100%" cellpadding="0" cellspacing="0" border="0" style="background: #fbfaf6"><tr><td align="center">
<!--[if mso]><table role="presentation" width="600" cellpadding="0" cellspacing="0" border="0"><tr><td><![endif]-->
<table role="presentation" width="100%" cellpadding="0" cellspacing="0" border="0" style="max-width: 600px; text-align: left">
${lead.split('\n').map(leadRow).join('\n')}
${sections.map(sectionRows).join('\n')}
<tr><td style="${CELL}; padding-top: 32px; padding-bottom: 32px"><table role="presentation" width="100%" cellpadding="0" cellspacing="0" border="0"><tr><td class="quiet hair" style="border-top: 1px solid #cfd3d3; padding-top: 12px; color: #5b656c; font: 400 13px/1.6 ${LABELS}">${foot.caution ? `<span style="display: block; padding-bottom: 10px">${escaped(foot.caution)}</span>` : ''}<span style="display: block; padding-bottom: 10px">${escaped(foot.standing)}</span>${linkTo(foot.choose, 13)}<br>${linkTo(foot.stop, 13)}</td></tr></table></td></tr>
</table>
<!--[if mso]></td></tr></table><![endif]-->
</td></tr></table>
</body>
</html>
`
}

function leadRow(paragraph: string, index: number): string {
  const [top, px] = index === 0 ? [28, 21] : [14, 17]
  return row(
    'ink',
    `padding-top: ${top}px; color: #1c2226; font: 400 ${px}px/1.4 ${WORDS}`,
    worded(paragraph),
  )
}

function sectionRows({ heading, note, groups, more, isOverdue }: OutlineSection): string {
  return [
    `<tr><td style="${CELL}; padding-top: 34px"><h2 class="ink hair" style="margin: 0; padding-top: 10px; border-top: 1px solid #cfd3d3; color: #1c2226; font: 700 18px/1.3 ${WORDS}">${escaped(heading)}</h2></td></tr>`,
    ...(note
      ? [row('ink', `padding-top: 8px; color: #1c2226; font: 400 16px/1.5 ${WORDS}`, worded(note))]
      : []),
    ...groups.flatMap((group) => [
      ...(group.heading ? [groupRow(group.heading)] : []),
      ...group.lines.map((line) => lineRow(line, isOverdue === true)),
    ]),
    ...(more ? [row('ink', 'padding-top: 14px', linkTo(more, 16))] : []),
  ].join('\n')
}

function groupRow(heading: string): string {
  const words = `<h3 class="quiet" style="margin: 0; color: #5b656c; font: 700 14px/1.4 ${LABELS}">${escaped(heading)}</h3>`
  return row('quiet', 'padding-top: 18px', words)
}

function lineRow(line: OutlineLine, isSaid: boolean): string {
  const { act, why, when, isOverdue, stake } = line
  const mark = markOf(line, isSaid)
  const facts = [
    ...(why ? [worded(when ? `${capitalised(why)}, ` : `${capitalised(why)}.`)] : []),
    ...(when ? [colour(isOverdue ? 'brick' : 'quiet', `${why ? when : capitalised(when)}.`)] : []),
  ].join('')
  const words = [
    `${mark ? `<b>${escaped(mark)}</b>` : ''}${linkTo(act, 17)}`,
    ...(facts
      ? [`<span class="quiet" style="color: #5b656c; font: 400 15px/1.5 ${LABELS}">${facts}</span>`]
      : []),
    ...(stake
      ? [`<span class="ink" style="color: #1c2226; font: 400 15px/1.5 ${LABELS}">${worded(stake)}</span>`]
      : []),
  ]
  return row('ink', `padding-top: 14px; color: #1c2226; font: 400 17px/1.4 ${WORDS}`, words.join('<br>'))
}

function colour(name: 'brick' | 'quiet', text: string): string {
  return `<span class="${name}" style="color: ${name === 'brick' ? '#9a3021' : '#5b656c'}">${escaped(text)}</span>`
}

function row(name: string, style: string, content: string): string {
  return `<tr><td class="${name}" style="${CELL}; ${style}">${content}</td></tr>`
}

function linkTo({ text, url }: { text: string; url: string }, px: number): string {
  return `<a class="blue" href="${escaped(url)}" style="color: #1f567a; font-size: ${px}px; text-decoration: underline">${worded(text)}</a>`
}

/** Words as HTML, in which no kit code is broken at its hyphen. */
function worded(text: string): string {
  return escaped(text).replace(
    /\b[0-9A-Z]{4}-[0-9A-Z]{4}\b/g,
    (code) => `<span style="white-space: nowrap">${code}</span>`,
  )
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`)
}
