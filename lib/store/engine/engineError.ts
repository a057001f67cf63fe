/** A failure of the embedded engine that a person can act on. The message consists of whole sentences. */
export class EngineError extends Error {
  override name = 'EngineError'
}

/** Another live process on this machine holds the data folder; `pid` is its process id. */
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

/** Another major version of PostgreSQL wrote the cluster, and the installed engine cannot read it. */
export class EngineVersionError extends EngineError {
  override name = 'EngineVersionError'
  constructor(
    readonly dataDir: string,
    /** Major versions, like 17. */
    readonly written: string,
    readonly installed: string,
  ) {
    super(`PostgreSQL ${written} wrote the data in ${dataDir}, and the installed engine is ${installed}.`)
  }
}
