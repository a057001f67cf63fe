import { Agent, request } from 'node:http'
import { atEndOfFile } from '@/tests/setup/endOfFile'

/** Addresses of this machine to send from: six writes of each are in work at a time. */
const CLIENTS = 30

/**
 * Makes a function that posts JSON as one of many clients, chosen by `n`, so that the turns of one client hold nothing back. To
 * be called in `beforeAll`.
 */
export function makeManyClients(address: string) {
  const { port } = new URL(address)
  const agents = Array.from({ length: CLIENTS }, (_, n) => new Agent({ localAddress: `127.0.0.${n + 2}` }))
  atEndOfFile(async () => {
    for (const agent of agents) agent.destroy()
  })
  return (n: number, path: string, headers: Record<string, string>, body: unknown) =>
    new Promise<{ status: number; retryAfter: string | undefined }>((resolve, reject) => {
      const to = { host: '127.0.0.1', port, path, method: 'POST', agent: agents[n % CLIENTS] }
      const sent = request(
        { ...to, headers: { ...headers, 'content-type': 'application/json' } },
        (response) => {
          response.resume()
          const { statusCode = 0, headers } = response
          response.once('end', () => resolve({ status: statusCode, retryAfter: headers['retry-after'] }))
        },
      )
      sent.on('error', reject)
      sent.end(JSON.stringify(body))
    })
}
