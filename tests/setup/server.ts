import { afterAll } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { startWebServer } from '@/lib/commands/webServer'
import { freePort } from '@/lib/store/engine'

/** A server of the built pages, as `npm start` runs it. */
export interface TestServer {
  /** Like http://localhost:41234, without a slash at the end. */
  address: string
  /** What it has written to its standard error until now. */
  errors(): string
  stop(): Promise<void>
}

/**
 * Builds the pages if there is no current build, and serves them on a free port from a database. Stopped after the file's last test.
 * Call it in `beforeAll`. `variables` are more of its environment.
 */
export async function startTestServer(
  databaseUrl: string,
  variables: Record<string, string> = {},
): Promise<TestServer> {
  await ensureBuild()
  let said = ''
  const onError = (text: string) => {
    said += text
  }
  const server = await startWebServer({ databaseUrl, port: await freePort(), onError, variables })
  afterAll(() => server.stop())
  return { address: `http://localhost:${server.port}`, errors: () => said, stop: () => server.stop() }
}
