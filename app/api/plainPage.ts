interface PlainPageOptions {
  headers?: Record<string, string>
  /** A form of one button. */
  button?: { action: string; name: string }
}

/**
 * A page of one sentence and a way on, for a form whose answer cannot be a page of the site because its status says
 * something. It works with no scripts and names nothing of the asker.
 */
export function renderPlainPage(
  status: number,
  heading: string,
  sentence: string,
  way: { href: string; name: string },
  { headers = {}, button: press }: PlainPageOptions = {},
): Response {
  const html = `<!doctype html>
<html lang="en-GB">
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
${press ? `<form method="post" action="${escapeHtml(press.action)}"><p><button type="submit">${escapeHtml(press.name)}</button></p></form>` : ''}
<p><a href="${escapeHtml(way.href)}">${escapeHtml(way.name)}</a></p>
</main>
</body>
</html>
`
  return new Response(html, {
    status,
    headers: { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store', ...headers },
  })
}

function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (one) => `&#${one.charCodeAt(0)};`)
}
