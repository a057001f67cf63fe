/**
 * A page with what React streams after it put into an order of its own. The rows of that stream come, and are numbered, as
 * they get ready: the same page asked for twice differs in this now and then (39 of 400 times on a busy machine).
 */
export function steadyStream(page: string): string {
  let stream = ''
  const rest = page.replace(PUSHED, (_, written: string) => {
    stream += JSON.parse(written)
    return ''
  })
  if (stream === '') return page
  const rows = stream.split('\n').map((row) => row.replace(/^[0-9a-f]+:/, '').replace(REFERENCE, '"$"'))
  return [rest, ...rows.sort()].join('\n')
}

const PUSHED = /<script nonce="[^"]*">self\.__next_f\.push\(\[1,("(?:[^"\\]|\\.)*")\]\)<\/script>/g
const REFERENCE = /"\$[A-Z@]?[0-9a-f]+"/g
