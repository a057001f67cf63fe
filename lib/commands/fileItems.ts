import { createReadStream, statSync } from 'node:fs'
import { detectFileFormat, parseNdjsonLine, type RawItem, splitItems } from '@/lib/intake/formats/body'
import { InputError, readTextFile } from './fileCommand'

/** The items of a file of events. NDJSON is read as it is sent, so it may be larger than the memory. */
export interface FileItems {
  items: AsyncIterable<RawItem> | Iterable<RawItem>
  /** Megabytes of the file. */
  megabytes: number
}

/**
 * Opens a file of events.
 * @throws InputError if it cannot be read, or its text is unreadable as a whole.
 */
export function openFileItems(path: string): FileItems {
  const format = detectFileFormat(path)
  const megabytes = findSize(path) / 1e6
  if (format === 'ndjson') return { items: readNdjson(path), megabytes }
  try {
    return { items: splitItems(readTextFile(path), format), megabytes }
  } catch (error) {
    throw error instanceof SyntaxError ? new InputError(`${path}: ${error.message}`) : error
  }
}

/** @throws InputError with the system's reason. */
export function findSize(path: string): number {
  try {
    return statSync(path).size
  } catch (error) {
    throw new InputError(`${path} cannot be read: ${(error as Error).message}`)
  }
}

async function* readNdjson(path: string): AsyncGenerator<RawItem> {
  let item = 0
  let line = 0
  for await (const text of readLines(path)) {
    line += 1
    const content = line === 1 ? text.replace(/^\ufeff/, '') : text
    if (content.trim() === '') continue
    item += 1
    yield { ...parseNdjsonLine(content, line), item }
  }
}

async function* readLines(path: string): AsyncGenerator<string> {
  let rest = ''
  try {
    for await (const chunk of createReadStream(path, 'utf8')) {
      const lines = `${rest}${chunk}`.split('\n')
      rest = lines.pop() ?? ''
      yield* lines
    }
  } catch (error) {
    throw new InputError(`${path} cannot be read: ${(error as Error).message}`)
  }
  yield rest
}
