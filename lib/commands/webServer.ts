import { type ChildProcess, fork } from 'node:child_process'
import type { Server, Socket } from 'node:net'
import { fileURLToPath } from 'node:url'
import { buildChildEnvironment, getEnvironment } from '@/lib/store/environment'

/** A web server that runs as a child of this process. */
export interface WebServer {
  /** The port it found free. */
  port: number
  pid: number
  /** Its listening socket, for the server that takes its place; null if it has ended or hangs. */
  handOver(): Promise<Server | null>
  /** Called once if it exits without `stop`. */
  onDeath(listener: (why: string) => void): void
  /** Lets pending requests finish (up to 3 s), then waits for its exit. */
  stop(): Promise<void>
  /** Whether it hung when it was stopped, and had to be killed. */
  wasKilled(): boolean
}

export interface WebServerOptions {
  /** The owner's URL of the database it serves; it works there as `holdfast_app`. */
  databaseUrl: string
  port: number
  /** Whether it takes the next free port if this one is taken; default true. */
  mayMove?: boolean
  /** The server whose socket it takes over once it can answer; the caller stops that one afterwards. */
  before?: Pick<WebServer, 'handOver'> | undefined
  isDev?: boolean
  /** Additional environment variables. */
  variables?: Record<string, string>
  /** Receives the server's standard error; default: ours. */
  onError?: (text: string) => void
  /** How it logs; default: sentences on standard error, and no files. */
  log?: { format: 'text' | 'json'; folder: string }
}

/** A server that has not handed its socket over by then hangs, ms. */
const HAND_OVER_TIMEOUT_MS = 5_000

/** A server that is stuck is killed then, ms. */
const STOP_TIMEOUT_MS = 4_000

/**
 * Starts the web server on 127.0.0.1 and waits until it answers.
 * @throws Error if it exits first.
 */
export async function startWebServer({
  databaseUrl,
  port,
  mayMove = true,
  before,
  isDev,
  onError,
  variables,
  log,
}: WebServerOptions): Promise<WebServer> {
  const hasOutput = isDev || log?.format === 'json'
  const child = fork(
    fileURLToPath(new URL('serve.mjs', import.meta.url)),
    [String(port), isDev ? 'dev' : '', before ? 'handed' : mayMove ? 'any' : 'own'],
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
  let isKilled = false
  const ended = new Promise<string>((resolve) => {
    child.once('error', (error) => resolve(`The web server cannot be run: ${error.message}.`))
    child.once('exit', (code, signal) =>
      resolve(`The web server exited unexpectedly (${signal ?? `exit code ${code}`}).`),
    )
  })
  const ready = new Promise<number | string>((resolve) =>
    child.on('message', (message: Message) => {
      if (message === 'prepared') void before?.handOver().then((socket) => passOn(socket, child))
      else if (typeof message === 'object') resolve('port' in message ? message.port : message.fault)
    }),
  )
  const first = await Promise.race([ready, ended])
  if (typeof first === 'string') throw new Error(first)
  return {
    port: first,
    pid: child.pid as number,
    handOver() {
      return new Promise((resolve) => {
        let isLate = false
        child.on('message', (message, socket) => {
          if (message !== 'listen') return
          if (isLate) (socket as Server).close()
          else resolve(socket as Server)
        })
        const giveUp = () => {
          isLate = true
          resolve(null)
        }
        setTimeout(giveUp, HAND_OVER_TIMEOUT_MS).unref()
        ended.then(giveUp)
        if (child.connected) child.send('hand over')
      })
    },
    onDeath(listener) {
      ended.then((why) => {
        if (!isStopping) listener(why)
      })
    },
    async stop() {
      isStopping = true
      if (child.connected) child.send('stop')
      const force = setTimeout(() => {
        isKilled = child.kill('SIGKILL')
      }, STOP_TIMEOUT_MS)
      await ended
      clearTimeout(force)
    },
    wasKilled: () => isKilled,
  }
}

/** What a web server says: that it waits for a socket, where it listens, or why it cannot. */
type Message = 'prepared' | 'listen' | { port: number } | { fault: string }

/** Gives a listening socket to a web server, and with it what connects to the socket while we hold it. */
function passOn(socket: Server | null, child: ChildProcess) {
  if (!child.connected) return
  if (socket === null) {
    child.send('listen')
    return
  }
  socket.on('connection', (connection: Socket) => child.send('connection', connection))
  child.send('listen', socket, () => socket.close())
}
