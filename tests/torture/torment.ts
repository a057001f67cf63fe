import type { Victim } from './victim'

/** What a torment gets to work with. */
export interface Ordeal {
  /** How often to repeat what the torment does once; what that is, the torment says. */
  rounds: number
  seed: number
  random(): number
  /** A folder that is removed at the end of all torments. */
  folder: string
  /** As a test, among others that have two and a half minutes together. */
  isShort: boolean
  /** The programme that most torments hurt, one after another; started when it is first asked for. */
  shared(): Promise<Victim>
  /** A programme of the torment's own, prepared, on a new folder. It is judged and ended after the torment. */
  own(options?: OwnOptions): Promise<Victim>
  /** Judges and ends a programme of the torment's own now, so that the next need not run beside it. */
  finish(victim: Victim): Promise<void>
  /** Prints progress. */
  tell(sentence: string): void
}

export interface OwnOptions {
  /** The data folder; default: a new one. */
  folder?: string
  /** Leave the first start to the torment. */
  isStarted?: boolean
  /** Called after it has ended. */
  atEnd?: () => void
}

/** A kind of torment. Afterwards the judge looks at every programme that it used. */
export interface Torment {
  name: string
  /** What is done, in one sentence. */
  what: string
  /** What one round is, for `--rounds`. */
  round: string
  /** Rounds by default. */
  rounds: number
  /** Rounds as a test; all torments together take two and a half minutes at most on two idle cores. */
  shortRounds: number
  /** More than a round takes on a machine with much else to do, s. A torment that takes longer is given up. */
  mostRoundSeconds: number
  /** @returns what was done, for the table, or why it had to be skipped. */
  run(ordeal: Ordeal): Promise<{ did: string } | { skipped: string }>
}
