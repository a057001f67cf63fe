const WIDTH = 30

/** A progress bar on standard error; draws nothing unless that is a terminal. */
export class ProgressBar {
  #done = 0

  constructor(
    private readonly name: string,
    private readonly total: number,
    private readonly unit = '',
  ) {}

  /** Adds `count` finished items. */
  advance(count: number): void {
    this.#done += count
    if (!process.stderr.isTTY) return
    const share = this.total === 0 ? 1 : Math.min(1, this.#done / this.total)
    const filled = Math.round(share * WIDTH)
    const bar = '='.repeat(filled) + ' '.repeat(WIDTH - filled)
    process.stderr.write(
      `\r${this.name} [${bar}] ${Math.round(this.#done)} of ${Math.round(this.total)}${this.unit}`,
    )
  }

  /** Clears the bar. */
  end(): void {
    if (process.stderr.isTTY) process.stderr.write('\r\u001b[K')
  }
}
