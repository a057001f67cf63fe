/** Entries in one piece. */
const PIECE = 200

/**
 * Encodes an object as JSON in pieces, the lists in it a few entries at a time, so that a long document is neither built
 * nor sent at once. Values are those of JSON.
 */
export function* encodeLists(document: Readonly<Record<string, unknown>>): Generator<Uint8Array> {
  const encoder = new TextEncoder()
  let before = '{'
  for (const [name, value] of Object.entries(document)) {
    yield encoder.encode(`${before}${JSON.stringify(name)}:`)
    before = ','
    if (!Array.isArray(value)) {
      yield encoder.encode(JSON.stringify(value))
      continue
    }
    for (let start = 0; start < value.length; start += PIECE) {
      const texts = value.slice(start, start + PIECE).map((entry) => JSON.stringify(entry))
      yield encoder.encode(`${start === 0 ? '[' : ','}${texts.join(',')}`)
    }
    yield encoder.encode(value.length === 0 ? '[]' : ']')
  }
  yield encoder.encode(before === '{' ? '{}' : '}')
}
