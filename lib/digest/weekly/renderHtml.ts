import { nameBidiControls } from '@/lib/messages/bidiControls'
import type { Translate } from '@/lib/messages/translate'
import { formatMark } from './lineText'
import type { ContentLine, ContentSection, MailContent } from './sections'

const SERIF = "Charter, Georgia, 'Liberation Serif', serif"
const SANS_SERIF = "-apple-system, 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', sans-serif"
const CELL = 'padding: 0 20px'

/**
 * The HTML of a mail: one table of 600 px that narrows with its window. Styles are inline, since some mail programs drop a
 * style sheet; only the dark colours are in one, for those that keep it.
 */
export function renderHtml(t: Translate, { subject, intro, sections, footer }: MailContent): string {
  return `<!doctype html>
<html lang="${escapeHtml(t.tag)}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="supported-color-schemes" content="light dark">
<title>${escapeHtml(subject)}</title>
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
${intro.map(renderIntroRow).join('\n')}
${sections.map((one) => renderSection(t, one)).join('\n')}
<tr><td style="${CELL}; padding-top: 32px; padding-bottom: 32px"><table role="presentation" width="100%" cellpadding="0" cellspacing="0" border="0"><tr><td class="quiet hair" style="border-top: 1px solid #cfd3d3; padding-top: 12px; color: #5b656c; font: 400 13px/1.6 ${SANS_SERIF}">${footer.caution ? `<span style="display: block; padding-bottom: 10px">${escapeHtml(footer.caution)}</span>` : ''}<span style="display: block; padding-bottom: 10px">${escapeHtml(footer.statement)}</span>${renderLink(footer.choose, 13)}<br>${renderLink(footer.stop, 13)}</td></tr></table></td></tr>
</table>
<!--[if mso]></td></tr></table><![endif]-->
</td></tr></table>
</body>
</html>
`
}

function renderIntroRow(paragraph: string, index: number): string {
  const [top, px] = index === 0 ? [28, 21] : [14, 17]
  return renderRow(
    'ink',
    `padding-top: ${top}px; color: #1c2226; font: 400 ${px}px/1.4 ${SERIF}`,
    escapeText(paragraph),
  )
}

function renderSection(t: Translate, { heading, note, groups, more, isOverdue }: ContentSection): string {
  return [
    `<tr><td style="${CELL}; padding-top: 34px"><h2 class="ink hair" style="margin: 0; padding-top: 10px; border-top: 1px solid #cfd3d3; color: #1c2226; font: 700 18px/1.3 ${SERIF}">${escapeHtml(heading)}</h2></td></tr>`,
    ...(note
      ? [renderRow('ink', `padding-top: 8px; color: #1c2226; font: 400 16px/1.5 ${SERIF}`, escapeText(note))]
      : []),
    ...groups.flatMap((group) => [
      ...(group.heading ? [renderGroup(group.heading)] : []),
      ...group.lines.map((line) => renderLine(t, line, isOverdue === true)),
    ]),
    ...(more ? [renderRow('ink', 'padding-top: 14px', renderLink(more, 16))] : []),
  ].join('\n')
}

function renderGroup(heading: string): string {
  const html = `<h3 class="quiet" style="margin: 0; color: #5b656c; font: 700 14px/1.4 ${SANS_SERIF}">${escapeHtml(heading)}</h3>`
  return renderRow('quiet', 'padding-top: 18px', html)
}

function renderLine(t: Translate, line: ContentLine, isSectionOverdue: boolean): string {
  const { act, why, when, isOverdue, stake } = line
  const mark = formatMark(t, line, isSectionOverdue)
  const facts = [
    ...(why ? [escapeText(why)] : []),
    ...(when ? [renderColoured(isOverdue ? 'brick' : 'quiet', when)] : []),
  ].join(' ')
  const lines = [
    `${mark ? `<b>${escapeHtml(mark)} </b>` : ''}${renderLink(act, 17)}`,
    ...(facts
      ? [`<span class="quiet" style="color: #5b656c; font: 400 15px/1.5 ${SANS_SERIF}">${facts}</span>`]
      : []),
    ...(stake
      ? [
          `<span class="ink" style="color: #1c2226; font: 400 15px/1.5 ${SANS_SERIF}">${escapeText(stake)}</span>`,
        ]
      : []),
  ]
  return renderRow(
    'ink',
    `padding-top: 14px; color: #1c2226; font: 400 17px/1.4 ${SERIF}`,
    lines.join('<br>'),
  )
}

function renderColoured(name: 'brick' | 'quiet', text: string): string {
  return `<span class="${name}" style="color: ${name === 'brick' ? '#9a3021' : '#5b656c'}">${escapeHtml(text)}</span>`
}

function renderRow(name: string, style: string, content: string): string {
  return `<tr><td class="${name}" style="${CELL}; ${style}">${content}</td></tr>`
}

function renderLink({ text, url }: { text: string; url: string }, px: number): string {
  return `<a class="blue" href="${escapeHtml(url)}" style="color: #1f567a; font-size: ${px}px; text-decoration: underline">${escapeText(text)}</a>`
}

/** Text as HTML, in which no kit code is broken at its hyphen. */
function escapeText(text: string): string {
  return escapeHtml(text).replace(
    /\b[0-9A-Z]{4}-[0-9A-Z]{4}\b/g,
    (code) => `<span style="white-space: nowrap">${code}</span>`,
  )
}

function escapeHtml(text: string): string {
  return nameBidiControls(text).replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`)
}
