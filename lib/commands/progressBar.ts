const WIDTH = 30

/** A bar on standard error that says how much is done; where that is no terminal, nothing is drawn. */
export class ProgressBar {
  #done = 0

  constructor(
    private readonly name: string,
    private readonly total: number,
  ) {}

  /** Says that `count` more are done. */
  advance(count: number): void {
    this.#done += count
    if (!process.stderr.isTTY) return
    const share = this.total === 0 ? 1 : this.#done / this.total
    const filled = Math.round(share * WIDTH)
    const bar = '='.repeat(filled) + ' '.repeat(WIDTH - filled)
    process.stderr.write(`\r${this.name} [${bar}] ${this.#done} of ${this.total}`)
  }

  /** Takes the bar away. */
  end(): void {
    if (process.stderr.isTTY) process.stderr.write('\r\u001b[K')
  }
}
