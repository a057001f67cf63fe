import pg from 'pg'
import { isRecovering } from './processes'

const POLL_MS = 5_000

/** SQLSTATE cannot_connect_now: PostgreSQL runs and refuses everyone. */
const CANNOT_CONNECT_NOW = '57P03'

/**
 * Watches for a PostgreSQL that refuses everyone and recovers nothing. If its startup process is killed while it recovers
 * from a crash, PostgreSQL 18 waits for that process for ever. Two polls in a row have to find it so.
 * @param onStuck is called once, and the watch ends.
 * @returns a function that ends the watch.
 */
export function watchRecovery(clusterDir: string, url: string, onStuck: () => void): () => void {
  // Windows does not tell what a process of PostgreSQL does.
  if (process.platform === 'win32') return () => {}
  let found = 0
  let isEnded = false
  const end = () => {
    isEnded = true
    clearInterval(polling)
  }
  const poll = async () => {
    const isStuck = (await isRefusing(url)) && !isRecovering(clusterDir)
    found = isStuck ? found + 1 : 0
    if (found < 2 || isEnded) return
    end()
    onStuck()
  }
  const polling = setInterval(() => void poll(), POLL_MS).unref()
  return end
}

async function isRefusing(url: string): Promise<boolean> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: POLL_MS })
  client.on('error', () => {})
  try {
    await client.connect()
    return false
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === CANNOT_CONNECT_NOW
  } finally {
    await client.end().catch(() => {})
  }
}
