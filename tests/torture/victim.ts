import { randomBytes } from 'node:crypto'
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { getClusterFolder } from '@/lib/store/engine/cluster'
import { findRunningEngineUrl } from '@/lib/store/engine/engine'
import { findClusterProcesses } from '@/lib/store/engine/processes'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeTestKey } from '@/tests/setup/apiKey'
import { connect, type TestDatabase } from '@/tests/setup/database'
import { launchCommand, type RunningCommand } from '@/tests/setup/launcher'
import {
  descendsFrom,
  type FoundProcess,
  findMarked,
  findWebServers,
  killAtOnce,
  MARK,
} from '@/tests/setup/processes'
import { Clients } from './clients'
import { judge, type Verdict } from './judge'
import { REGISTER } from './programme'
import { SentRecord } from './sentRecord'

const CLIENTS = 4
const ANSWER_MS = 120_000
const GONE_MS = 20_000
const STOP_MS = 60_000
const SERVING = /Serving your programme on http:\/\/localhost:(\d+)/g

/** A Holdfast of its own, run by `npm start`'s command on a data folder, that torments may hurt and clients post to. */
export class Victim {
  readonly record = new SentRecord()
  readonly folder: string
  /** Secrets of keys that may report as `client 1` ... and `hostile`. */
  readonly keys: string[] = []
  /** The secret of a key that no client uses. */
  spareKey = ''
  readonly #port: number
  readonly #variables: Record<string, string>
  readonly #marks: string[] = []
  #run?: RunningCommand
  #runs = 0
  #isGivenUp = false

  /** `variables` extend the environment of everything it starts. The folder is made if missing. */
  constructor(folder: string, port: number, variables: Record<string, string> = {}) {
    this.folder = folder
    this.#port = port
    this.#variables = variables
    mkdirSync(folder, { recursive: true })
    // The programme under torture is a real one, and no start has to wait for the demo.
    writeFileSync(join(folder, 'demo-removed'), 'The torture starts without the demo.\n')
  }

  /** Starts it for the first time, gives it a register and makes the clients' keys. */
  async prepare(): Promise<void> {
    await this.ensureServing()
    await this.withDatabase(async ({ app, authPool }) => {
      const { refusals } = await applyRegister(app, REGISTER, Date.now())
      if (refusals.length > 0) throw new Error(JSON.stringify(refusals))
      const makeNamed = (name: string) => makeTestKey({ authPool }, { name, sources: [name, 'hostile'] })
      for (let client = 1; client <= CLIENTS; client++) this.keys.push(await makeNamed(`client ${client}`))
      this.spareKey = await makeNamed('spare')
    })
  }

  /** Starts the launcher on the folder, marked, without waiting for anything. */
  launch(variables: Record<string, string> = {}): RunningCommand {
    this.#run = this.launchBeside('start', variables)
    return this.#run
  }

  /** Takes a launcher that `launchBeside` started for its own. */
  adopt(run: RunningCommand) {
    this.#run = run
  }

  /** Ends the launcher by SIGTERM, or after a minute by SIGKILL, and waits until it has ended. */
  async stop(): Promise<void> {
    if (this.#run === undefined || !this.isLauncherRunning) return
    const { child, ended, output } = this.#run
    child.kill('SIGTERM')
    const how = await Promise.race([ended, wait(STOP_MS, 'not yet', { ref: false })])
    if (how !== 'not yet') return
    this.record.wrongAnswers.push(`still running ${STOP_MS / 1_000} s after SIGTERM. It said:\n${output()}`)
    child.kill('SIGKILL')
    await ended
  }

  async restart(): Promise<void> {
    await this.stop()
    await this.ensureServing()
  }

  /** The same for any command; what it leaves running is found later, but it does not become the launcher. */
  launchBeside(command: string, variables: Record<string, string> = {}): RunningCommand {
    if (this.#isGivenUp) throw new Error('This programme was given up.')
    const mark = randomBytes(6).toString('hex')
    this.#marks.push(mark)
    return launchCommand(command, [], {
      HOLDFAST_DATA_DIR: this.folder,
      HOLDFAST_REQUESTS_A_MINUTE: '9999999',
      HOLDFAST_LOG: 'text',
      PORT: String(this.#port),
      ...this.#variables,
      ...variables,
      [MARK]: mark,
    })
  }

  /** The environment of a server that a torment starts itself, so that it is found if it stays. */
  markServer(): Record<string, string> {
    const mark = randomBytes(6).toString('hex')
    this.#marks.push(mark)
    return { HOLDFAST_REQUESTS_A_MINUTE: '9999999', HOLDFAST_LOG: 'text', [MARK]: mark }
  }

  get isLauncherRunning(): boolean {
    return this.#run !== undefined && this.#run.child.exitCode === null && this.#run.child.signalCode === null
  }

  /** The launcher's process id, if it runs. */
  get launcher(): number | null {
    return this.isLauncherRunning ? (this.#run?.child.pid ?? null) : null
  }

  get output(): string {
    return this.#run?.output() ?? ''
  }

  /** Where the launcher said last that it serves. */
  get address(): string {
    const port = [...this.output.matchAll(SERVING)].at(-1)?.[1]
    return `http://127.0.0.1:${port ?? this.#port}`
  }

  webServers(): FoundProcess[] {
    return this.launcher === null ? [] : findWebServers(this.launcher)
  }

  engineProcesses(): { postmaster: number | null; all: number[] } {
    try {
      return findClusterProcesses(getClusterFolder(this.folder))
    } catch {
      return { postmaster: null, all: [] }
    }
  }

  /**
   * Waits until an authenticated post of no events is answered with 200, and starts a launcher whenever none runs.
   * @throws Error with its output if that takes more than two minutes.
   */
  async ensureServing(variables: Record<string, string> = {}): Promise<void> {
    const endAt = Date.now() + ANSWER_MS
    while (!(await this.isServing())) {
      if (!this.isLauncherRunning) this.launch(variables)
      if (Date.now() > endAt)
        throw new Error(`No answer in ${ANSWER_MS / 1_000} s. The launcher said:\n${this.output}`)
      await wait(50)
    }
  }

  /** Whether it stores events now; before it has keys, whether it answers. */
  async isServing(): Promise<boolean> {
    if (!this.isLauncherRunning || !/Serving/.test(this.output)) return false
    const [key] = this.keys
    const asked = key
      ? fetch(`${this.address}/api/events`, {
          method: 'POST',
          headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
          body: '[]',
          signal: AbortSignal.timeout(10_000),
        })
      : fetch(`${this.address}/api/health`, { signal: AbortSignal.timeout(10_000) })
    try {
      const answer = await asked
      // A server that is killed may end in the middle of it.
      await answer.text()
      return answer.status === 200
    } catch {
      return false
    }
  }

  /** Starts clients that post until they are stopped. `address` defaults to the launcher's server. */
  startClients(seed: number, address: () => string = () => this.address): Clients {
    this.#runs += 1
    return new Clients({ record: this.record, keys: this.keys, address, seed, run: this.#runs })
  }

  /**
   * Waits until the clients have one more event acknowledged, and starts a launcher whenever none runs: one that lost its
   * database may still answer for a moment, and end later.
   */
  async keepServing(clients: Clients): Promise<void> {
    await clients.waitForMore(1, ANSWER_MS, () => {
      if (!this.isLauncherRunning) this.launch()
    })
  }

  /** The owner's URL of the database, while the engine runs. */
  async databaseUrl(): Promise<string> {
    const url = await findRunningEngineUrl(this.folder, 'holdfast')
    if (url === null) throw new Error(`No engine runs on ${this.folder}. The launcher said:\n${this.output}`)
    return url
  }

  async withDatabase<T>(work: (database: TestDatabase) => Promise<T>): Promise<T> {
    const { close, ...database } = connect(await this.databaseUrl())
    try {
      return await work(database)
    } finally {
      await close()
    }
  }

  /** Ends at once all that it runs, and whatever waits for it: nothing starts here any more. */
  giveUp() {
    this.#isGivenUp = true
    for (const { pid } of this.#listLeft(null)) killAtOnce(pid)
  }

  /** Waits until it serves, lets one more body be acknowledged, and judges. Clients have to be stopped. */
  async judge(seed: number): Promise<Verdict> {
    try {
      await this.ensureServing()
      const last = this.startClients(seed)
      await this.keepServing(last).finally(() => last.stop())
    } catch (error) {
      this.record.wrongAnswers.push(`it does not answer again: ${(error as Error).message}`)
    }
    const left = (await this.#findLeft(this.launcher)).map(describe)
    return this.withDatabase((database) => judge(database, this.record, left, Date.now()))
  }

  /**
   * Ends it as a person would, and at once what that leaves running.
   * @returns what was left, after `graceMs` in which it may still end by itself, and whether it had to be forced.
   */
  async close(graceMs = GONE_MS): Promise<string[]> {
    await this.stop()
    const left = await this.#findLeft(null, graceMs)
    for (const { pid } of left) killAtOnce(pid)
    return [...this.record.wrongAnswers.splice(0), ...left.map(describe)]
  }

  /** Processes that a launcher which has ended left, after a time in which they may still end by themselves. */
  async #findLeft(launcher: number | null, graceMs = GONE_MS): Promise<FoundProcess[]> {
    for (const endAt = Date.now() + graceMs; ; await wait(100)) {
      const left = this.#listLeft(launcher)
      if (left.length === 0 || Date.now() > endAt) return left
    }
  }

  #listLeft(launcher: number | null): FoundProcess[] {
    const { all } = this.engineProcesses()
    const marked = this.#marks.flatMap((mark) => findMarked(mark))
    const others = all.filter((pid) => !marked.some((one) => one.pid === pid))
    const found = [
      ...marked,
      ...others.map((pid) => ({ pid, parent: 0, command: 'a process of PostgreSQL' })),
    ]
    return found.filter(({ pid }) => launcher === null || !descendsFrom(pid, launcher))
  }
}

const describe = ({ pid, command }: FoundProcess) => `${pid} ${command.slice(0, 80)}`
