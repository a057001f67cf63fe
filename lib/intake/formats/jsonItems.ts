/** An item of a JSON text, not yet parsed. `depth` counts the levels of lists and objects in it. */
export interface JsonItem {
  text: string
  depth: number
  /** How many commas it has: it has hardly more values. */
  commas: number
}

const [QUOTE, COMMA, COLON, BACKSLASH, OPEN_LIST, CLOSE_LIST, OPEN_OBJECT, CLOSE_OBJECT] = [
  34, 44, 58, 92, 91, 93, 123, 125,
]

/**
 * Cuts a JSON text into the items of its list; a text that is no list is one item. Parsing a large text at once would
 * block the process. Every item is JSON if and only if the whole text is.
 *
 * Errors: SyntaxError if the list has no end, or text follows it.
 */
export function* cutJson(text: string): Generator<JsonItem> {
  const start = skipBlanks(text, 0)
  if (text.charCodeAt(start) === OPEN_LIST) checkEnd(text, yield* cutList(text, start))
  else yield { text, ...measure(text, 0, true) }
}

/** Cuts the list whose bracket is at `start` into its items. Returns the index after its end. */
function* cutList(text: string, start: number): Generator<JsonItem, number> {
  let at = start + 1
  let end = skipBlanks(text, at)
  if (text.charCodeAt(end) === CLOSE_LIST) return end + 1
  for (;;) {
    const item = measure(text, at, false)
    end = item.end
    yield { ...item, text: text.slice(at, end) }
    if (text.charCodeAt(end) === CLOSE_LIST) return end + 1
    expect(text, end, COMMA)
    at = end + 1
  }
}

/** A member of an object in JSON: a list has its items cut, any other value is one item. */
export interface JsonMember {
  name: string
  isList: boolean
}

/**
 * Cuts a JSON text of an object into its members, and each list among them into its items. A text that is no object is
 * one item, or the items of its list.
 *
 * Errors: SyntaxError if the text is not JSON as far as it is not in items.
 */
export function* cutObject(text: string): Generator<JsonMember | JsonItem> {
  let at = skipBlanks(text, 0)
  if (text.charCodeAt(at) !== OPEN_OBJECT) {
    yield* cutJson(text)
    return
  }
  at = skipBlanks(text, at + 1)
  if (text.charCodeAt(at) === CLOSE_OBJECT) {
    checkEnd(text, at + 1)
    return
  }
  for (;;) {
    expect(text, at, QUOTE)
    const nameEnd = findStringEnd(text, at + 1) + 1
    const name = JSON.parse(text.slice(at, nameEnd)) as string
    const colon = skipBlanks(text, nameEnd)
    expect(text, colon, COLON)
    at = skipBlanks(text, colon + 1)
    const isList = text.charCodeAt(at) === OPEN_LIST
    yield { name, isList }
    if (isList) at = skipBlanks(text, yield* cutList(text, at))
    else {
      const item = measure(text, at, false)
      yield { ...item, text: text.slice(at, item.end) }
      at = item.end
    }
    if (text.charCodeAt(at) === CLOSE_OBJECT) break
    expect(text, at, COMMA)
    at = skipBlanks(text, at + 1)
  }
  checkEnd(text, at + 1)
}

function expect(text: string, at: number, code: number): void {
  if (at >= text.length) throw new SyntaxError('Unexpected end of JSON input')
  if (text.charCodeAt(at) !== code)
    throw new SyntaxError(`Unexpected token '${text.charAt(at)}' at position ${at}`)
}

function checkEnd(text: string, end: number): void {
  const rest = skipBlanks(text, end)
  if (rest < text.length) throw new SyntaxError(`Unexpected text at position ${rest}`)
}

/** The depth of a JSON text. */
export function measureDepth(text: string): number {
  return measure(text, 0, true).depth
}

/**
 * Finds the end of the value that begins at `from`: the index of the comma or bracket after it, or the end of the text.
 * `isWhole`: the value is the rest of the text.
 */
function measure(
  text: string,
  from: number,
  isWhole: boolean,
): { end: number; depth: number; commas: number } {
  let level = 0
  let depth = 0
  let commas = 0
  for (let at = from; at < text.length; at += 1) {
    const code = text.charCodeAt(at)
    if (code === QUOTE) at = findStringEnd(text, at + 1)
    else if (code === OPEN_LIST || code === OPEN_OBJECT) {
      level += 1
      if (level > depth) depth = level
    } else if (code === CLOSE_LIST || code === CLOSE_OBJECT) {
      if (level === 0 && !isWhole) return { end: at, depth, commas }
      level -= 1
    } else if (code === COMMA) {
      if (level === 0 && !isWhole) return { end: at, depth, commas }
      commas += 1
    }
  }
  return { end: text.length, depth, commas }
}

/** The index of the quote that ends a string; the length of the text if none does. */
function findStringEnd(text: string, from: number): number {
  for (let at = from; at < text.length; at += 1) {
    const code = text.charCodeAt(at)
    if (code === BACKSLASH) at += 1
    else if (code === QUOTE) return at
  }
  return text.length
}

/** The index of the first character from `from` on that is no white space of JSON. */
function skipBlanks(text: string, from: number): number {
  let at = from
  while (' \t\n\r'.includes(text.charAt(at)) && at < text.length) at += 1
  return at
}
