import { format, stripVTControlCharacters } from 'node:util'
import { getLog, type LogOptions, openLog } from './log'
import { observeRequest } from './observeRequest'

const shared = globalThis as typeof globalThis & { holdfastObserve?: typeof observeRequest }

/** Starts the telemetry of the web server: its log, and what `serve.mjs` calls for each request. */
export async function startTelemetry(options: LogOptions): Promise<void> {
  await openLog(options)
  shared.holdfastObserve = observeRequest
}

/** Sends what libraries and Next print on the console to the log, a line each with its stack in a field. */
export function logConsole(): void {
  const print =
    (level: 'info' | 'warn' | 'error') =>
    (...values: unknown[]) => {
      const error = values.find((value) => value instanceof Error)
      const text = stripVTControlCharacters(format(...values))
      const fields = error ? { error: error.message, stack: text } : {}
      getLog()[level](fields, error ? error.message : text)
    }
  console.log = print('info')
  console.info = print('info')
  console.warn = print('warn')
  console.error = print('error')
}
