/**
 * Next calls it once in each process that serves, before the first request. The condition keeps the server's code out of
 * what Next makes for other runtimes.
 */
export async function register(): Promise<void> {
  if (process.env.NEXT_RUNTIME !== 'nodejs') return
  const { startTelemetry, logConsole } = await import('./lib/telemetry/startTelemetry')
  const { getEnvironment } = await import('./lib/store/environment')
  const { log, logDir } = getEnvironment()
  await startTelemetry({ name: 'web', format: log ?? 'text', folder: logDir ?? null })
  // Next’s own colours and overlays are for whoever develops.
  if (process.env.NODE_ENV === 'production') logConsole()
  const { openFront } = await import('./app/front')
  openFront()
}

/** Next reports here every error of a page or route that it answers itself. */
export async function onRequestError(error: unknown): Promise<void> {
  if (process.env.NEXT_RUNTIME !== 'nodejs') return
  const { findDatabaseFault, isBusy } = await import('./lib/store/scope/unavailable')
  const { getRequestContext } = await import('./lib/telemetry/requestContext')
  const context = getRequestContext()
  if (context) context.databaseFault ??= isBusy(error) ? 'busy' : findDatabaseFault(error)
}
