import { fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { buildChildEnvironment, getEnvironment } from '@/lib/store/environment'

/** A web server that runs as a child of this process. */
export interface WebServer {
  /** The port it found free. */
  port: number
  pid: number
  /** Called once if it exits without `stop`. */
  onDeath(listener: (why: string) => void): void
  /** Lets pending requests finish (up to 3 s), then waits for its exit. */
  stop(): Promise<void>
}

export interface WebServerOptions {
  /** The owner's URL of the database it serves; it works there as `holdfast_app`. */
  databaseUrl: string
  /** The first port to try; it takes the next free one. */
  port: number
  isDev?: boolean
  /** Additional environment variables. */
  variables?: Record<string, string>
  /** Receives the server's standard error; default: ours. */
  onError?: (text: string) => void
  /** How it logs; default: sentences on standard error, and no files. */
  log?: { format: 'text' | 'json'; folder: string }
}

/** A server that is stuck is killed then, ms. */
const STOP_TIMEOUT_MS = 4_000

/**
 * Starts the web server on 127.0.0.1 and waits until it answers.
 * @throws Error if it exits first.
 */
export async function startWebServer({
  databaseUrl,
  port,
  isDev,
  onError,
  variables,
  log,
}: WebServerOptions): Promise<WebServer> {
  const hasOutput = isDev || log?.format === 'json'
  const child = fork(
    fileURLToPath(new URL('serve.mjs', import.meta.url)),
    [String(port), isDev ? 'dev' : ''],
    {
      env: buildChildEnvironment({
        DATABASE_URL: databaseUrl,
        // The default depends on DATABASE_URL, which the server always has.
        HOLDFAST_BACKUP_DIR: getEnvironment().backupDir,
        NEXT_TELEMETRY_DISABLED: '1',
        NODE_ENV: isDev ? 'development' : 'production',
        HOLDFAST_LOG: log?.format ?? 'text',
        HOLDFAST_LOG_DIR: log?.folder ?? '',
        ...variables,
      }),
      // The young generation holds a body of many events, so that these do not survive several collections. It counts
      // three times: with 64 the worst bodies took 992 MiB, with 32 they take 895.
      execArgv: ['--max-semi-space-size=32'],
      stdio: ['ignore', hasOutput ? 'inherit' : 'ignore', onError ? 'pipe' : 'inherit', 'ipc'],
    },
  )
  if (onError) child.stderr?.on('data', (text: Buffer) => onError(String(text)))
  let isStopping = false
  const ended = new Promise<string>((resolve) => {
    child.once('error', (error) => resolve(`The web server cannot be run: ${error.message}.`))
    child.once('exit', (code, signal) =>
      resolve(`The web server exited unexpectedly (${signal ?? `exit code ${code}`}).`),
    )
  })
  const ready = new Promise<number>((resolve) =>
    child.once('message', (message: { port: number }) => resolve(message.port)),
  )
  const first = await Promise.race([ready, ended])
  if (typeof first === 'string') throw new Error(first)
  return {
    port: first,
    pid: child.pid as number,
    onDeath(listener) {
      ended.then((why) => {
        if (!isStopping) listener(why)
      })
    },
    async stop() {
      isStopping = true
      if (child.connected) child.send('stop')
      const force = setTimeout(() => child.kill('SIGKILL'), STOP_TIMEOUT_MS)
      await ended
      clearTimeout(force)
    },
  }
}
