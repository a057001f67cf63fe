import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import pino from 'pino'
import openRolling from 'pino-roll'
import SonicBoom from 'sonic-boom'
import { redact } from './redact'
import { getRequestContext } from './requestContext'

/** The logger of a process: pino's levels, each with fields and a sentence. */
export type Log = Pick<pino.Logger, 'info' | 'warn' | 'error'>

export interface LogOptions {
  /** Which process writes: `launcher` or `web`. */
  name: string
  /** `json`: lines on standard output; `text`: sentences of warnings and errors on standard error; null: neither. */
  format: 'json' | 'text' | null
  /** The folder of the rotated files; null for none. */
  folder: string | null
  /** The size at which a file is full, as pino-roll writes it; default 10 MB. */
  size?: string
}

/** Files kept besides the one in use: with 10 MB each, a process fills at most 100 MB and a little. */
const OLD_FILES = 9
/** What is not yet written may take this much memory; more is dropped, so that a full disk does not fill it, bytes. */
const MAX_UNWRITTEN = 1024 * 1024

const shared = globalThis as typeof globalThis & { holdfastLog?: Log }

/**
 * Opens the logger of this process, which `getLog` then returns. It never throws and never fails a request: a disk that
 * is full or a folder that cannot be written loses lines, nothing else.
 */
export async function openLog(options: LogOptions): Promise<Log> {
  const streams: pino.StreamEntry[] = []
  for (const output of [process.stdout, process.stderr]) output.off('error', ignore).on('error', ignore)
  if (options.format === 'json') streams.push({ stream: openOutput() })
  if (options.format === 'text') streams.push({ level: 'warn', stream: { write: writeSentence } })
  const file = options.folder && (await openFile(options.folder, options).catch(() => null))
  if (file) streams.push({ stream: file })
  shared.holdfastLog = makeLogger(options.name, pino.multistream(streams))
  return shared.holdfastLog
}

/** The logger of this process. Until one is opened, warnings and errors go to standard error as sentences. */
export function getLog(): Log {
  shared.holdfastLog ??= makeLogger(
    'command',
    pino.multistream([{ level: 'warn', stream: { write: writeSentence } }]),
  )
  return shared.holdfastLog
}

function makeLogger(name: string, stream: pino.DestinationStream): Log {
  return pino(
    {
      base: { process: name, pid: process.pid },
      messageKey: 'message',
      timestamp: pino.stdTimeFunctions.isoTime,
      formatters: { level: (level) => ({ level }) },
      mixin() {
        const context = getRequestContext()
        return context ? { request: context.id, principal: context.principal } : {}
      },
      hooks: { streamWrite: redact },
    },
    stream,
  )
}

/**
 * Standard output may be a file on a full disk, a pipe whose reader has gone, or one whose reader has stopped reading: a
 * write that waits for it would hold up every request.
 */
function openOutput(): pino.DestinationStream {
  return endWell(new SonicBoom({ fd: 1, sync: false, maxLength: MAX_UNWRITTEN }))
}

/** Flushes a destination when the process exits, unless its last write failed: flushing would then try for ever. */
function endWell(stream: SonicBoom): SonicBoom {
  let isWritable = false
  stream.on('write', () => {
    isWritable = true
  })
  stream.on('error', () => {
    isWritable = false
  })
  process.on('exit', () => {
    if (isWritable) stream.flushSync()
  })
  return stream
}

/** Without a listener, an output that refuses a line would end the process. */
function ignore() {}

async function openFile(folder: string, { name, size = '10m' }: LogOptions) {
  mkdirSync(folder, { recursive: true, mode: 0o700 })
  const limit = { count: OLD_FILES, removeOtherLogFiles: true }
  const stream = await openRolling({
    ...{ file: join(folder, name), size, extension: '.log', limit },
    ...{ mode: 0o600, sync: false, maxLength: MAX_UNWRITTEN },
  })
  return endWell(stream)
}

/** A line of the log as a person reads it on a terminal: the sentence, then the stack, which may repeat it. */
function writeSentence(line: string): void {
  const { message = '', stack = '' } = JSON.parse(line) as { message?: string; stack?: string }
  process.stderr.write(`${stack.includes(message) ? stack : `${message}\n${stack}`.trimEnd()}\n`)
}
