import { nameBidiControls } from '@/lib/messages/bidiControls'
import type { Translate } from '@/lib/messages/translate'

interface PlainPageOptions {
  headers?: Record<string, string>
  /** A form with one button. */
  button?: { action: string; name: string }
  /** A link before the one that every page has. */
  firstLink?: PlainLink
}

interface PlainLink {
  href: string
  name: string
}

/** A page of one sentence and a link, for answers whose status matters. It needs no scripts and names nobody. */
export function renderPlainPage(
  t: Translate,
  status: number,
  heading: string,
  sentence: string,
  link: PlainLink,
  { headers = {}, button, firstLink }: PlainPageOptions = {},
): Response {
  const html = `<!doctype html>
<html lang="${t.tag}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(heading)} · Holdfast</title>
<link rel="stylesheet" href="/plain.css">
</head>
<body>
<main>
<h1>${escapeHtml(heading)}</h1>
<p>${escapeHtml(sentence)}</p>
${button ? `<form method="post" action="${escapeHtml(button.action)}"><p><button type="submit">${escapeHtml(button.name)}</button></p></form>` : ''}
${firstLink ? renderLink(firstLink) : ''}
${renderLink(link)}
</main>
</body>
</html>
`
  return new Response(html, {
    status,
    headers: { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store', ...headers },
  })
}

const renderLink = ({ href, name }: PlainLink) =>
  `<p><a href="${escapeHtml(href)}">${escapeHtml(name)}</a></p>`

function escapeHtml(text: string): string {
  return nameBidiControls(text).replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`)
}
