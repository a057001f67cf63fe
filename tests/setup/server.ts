import { ensureBuild } from '@/lib/commands/build'
import { startWebServer } from '@/lib/commands/webServer'
import { findFreePort } from '@/lib/store/engine/freePort'
import { atEndOfFile } from './endOfFile'

/** A server of the built pages, as `npm start` runs it. */
export interface TestServer {
  /** Like http://localhost:41234, without a trailing slash. */
  address: string
  /** Everything written to its standard error so far. */
  errors(): Promise<string>
}

/**
 * Builds the pages unless the build is current, and serves them from a database on a free port. `variables` extend its
 * environment.
 */
export async function startServer(
  databaseUrl: string,
  variables: Record<string, string> = {},
): Promise<TestServer & { pid: number; stop(): Promise<void> }> {
  await ensureBuild()
  let output = ''
  const onError = (text: string) => {
    output += text
  }
  const server = await startWebServer({ databaseUrl, port: await findFreePort(), onError, variables })
  return {
    address: `http://localhost:${server.port}`,
    pid: server.pid,
    errors: async () => output,
    stop: () => server.stop(),
  }
}

/** Starts a server for the calling test file and stops it after the file's last test. Call it in `beforeAll`. */
export async function startTestServer(
  databaseUrl: string,
  variables?: Record<string, string>,
): Promise<TestServer & { pid: number }> {
  const server = await startServer(databaseUrl, variables)
  atEndOfFile(server.stop)
  return server
}
