/** A failure of the embedded engine that a person can act on: the message is one or more whole sentences. */
export class EngineError extends Error {
  override name = 'EngineError'
}

/** Another live process of this machine holds the data folder. `pid` is its process id. */
export class EngineBusyError extends EngineError {
  override name = 'EngineBusyError'
  constructor(
    readonly dataDir: string,
    readonly pid: number,
  ) {
    super(
      `Holdfast is already running on ${dataDir} (process ${pid}). Stop it first, or set HOLDFAST_DATA_DIR to another folder.`,
    )
  }
}
