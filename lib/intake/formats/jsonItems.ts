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
 * block the process. Every item is JSON if and only if the whole text is. Null: none yet, so that the caller can pause.
 *
 * Errors: SyntaxError if the list has no end, or text follows it.
 */
export function* cutJson(text: string): Generator<JsonItem | null> {
  const start = skipBlanks(text, 0)
  if (text.charCodeAt(start) === OPEN_LIST) checkEnd(text, yield* cutList(text, start))
  else {
    const whole = beginScan(0, true)
    while (!scanOn(text, whole)) yield null
    yield { text, depth: whole.depth, commas: whole.commas }
  }
}

/** Cuts the list whose bracket is at `start` into its items. Returns the index after its end. */
function* cutList(text: string, start: number): Generator<JsonItem | null, number> {
  let at = start + 1
  let end = skipBlanks(text, at)
  if (text.charCodeAt(end) === CLOSE_LIST) return end + 1
  for (;;) {
    const item = beginScan(at, false)
    while (!scanOn(text, item)) yield null
    end = item.end
    yield { text: text.slice(at, end), depth: item.depth, commas: item.commas }
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
 * one item, or the items of its list. Null: neither yet, so that the caller can pause.
 *
 * Errors: SyntaxError if the text is not JSON as far as it is not in items.
 */
export function* cutObject(text: string): Generator<JsonMember | JsonItem | null> {
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
    const nameEnd = findStringEnd(text, at + 1, text.length) + 1
    const name = JSON.parse(text.slice(at, nameEnd)) as string
    const colon = skipBlanks(text, nameEnd)
    expect(text, colon, COLON)
    at = skipBlanks(text, colon + 1)
    const isList = text.charCodeAt(at) === OPEN_LIST
    yield { name, isList }
    if (isList) at = skipBlanks(text, yield* cutList(text, at))
    else {
      const item = beginScan(at, false)
      while (!scanOn(text, item)) yield null
      yield { text: text.slice(at, item.end), depth: item.depth, commas: item.commas }
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
  const scan = beginScan(0, true)
  while (!scanOn(text, scan));
  return scan.depth
}

/** How far a value is read. */
interface Scan {
  /** The index of the next character; at last, that of the comma or bracket after the value, or the end of the text. */
  end: number
  /** The value is the rest of the text. */
  readonly isWhole: boolean
  level: number
  depth: number
  commas: number
  isInString: boolean
}

function beginScan(from: number, isWhole: boolean): Scan {
  return { end: from, isWhole, level: 0, depth: 0, commas: 0, isInString: false }
}

/** Characters that are read in one step: less than 1 ms. */
const STEP_LENGTH = 128 * 1024

/** Reads a value on for one step. Returns whether its end is found. */
function scanOn(text: string, scan: Scan): boolean {
  const stop = Math.min(text.length, scan.end + STEP_LENGTH)
  let at = scan.end
  while (at < stop) {
    const code = text.charCodeAt(at)
    if (scan.isInString || code === QUOTE) {
      at = findStringEnd(text, scan.isInString ? at : at + 1, stop)
      scan.isInString = at >= stop
      if (scan.isInString) break
    } else if (scan.level === 0 && !scan.isWhole && isAfterValue(code)) {
      scan.end = at
      return true
    } else if (code === OPEN_LIST || code === OPEN_OBJECT) {
      scan.level += 1
      if (scan.level > scan.depth) scan.depth = scan.level
    } else if (code === CLOSE_LIST || code === CLOSE_OBJECT) scan.level -= 1
    else if (code === COMMA) scan.commas += 1
    at += 1
  }
  scan.end = Math.min(at, text.length)
  return scan.end === text.length
}

function isAfterValue(code: number): boolean {
  return code === COMMA || code === CLOSE_LIST || code === CLOSE_OBJECT
}

/** The index of the quote that ends a string; if there is none before `stop`, that where to go on. */
function findStringEnd(text: string, from: number, stop: number): number {
  let at = from
  for (; at < stop; at += 1) {
    const code = text.charCodeAt(at)
    if (code === BACKSLASH) at += 1
    else if (code === QUOTE) return at
  }
  return at
}

/** The index of the first character from `from` on that is no white space of JSON. */
function skipBlanks(text: string, from: number): number {
  let at = from
  while (' \t\n\r'.includes(text.charAt(at)) && at < text.length) at += 1
  return at
}
