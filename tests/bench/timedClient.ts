import { Agent, request } from 'node:http'
import { performance } from 'node:perf_hooks'

/** An answer over HTTP and how long it took, from before the request was sent until its last byte was there. */
export interface TimedAnswer {
  status: number
  headers: NodeJS.Dict<string | string[]>
  body: string
  tookMs: number
}

/** Sends requests one at a time over one connection that is kept. */
export class TimedClient {
  private readonly agent: Agent

  /** @param from the address of this machine to send from, in 127.0.0.0/8; 127.0.0.1 unless said. */
  constructor(
    private readonly site: string,
    from?: string,
  ) {
    this.agent = new Agent({ keepAlive: true, maxSockets: 1, localAddress: from })
  }

  send(
    method: string,
    path: string,
    headers: Record<string, string> = {},
    body?: string,
  ): Promise<TimedAnswer> {
    const startedAt = performance.now()
    return new Promise((resolve, reject) => {
      const asked = request(`${this.site}${path}`, { method, agent: this.agent, headers }, (response) => {
        const chunks: Buffer[] = []
        response.on('data', (chunk: Buffer) => chunks.push(chunk))
        response.once('error', reject)
        response.once('end', () =>
          resolve({
            status: response.statusCode ?? 0,
            headers: response.headers,
            tookMs: performance.now() - startedAt,
            body: Buffer.concat(chunks).toString('utf8'),
          }),
        )
      })
      asked.once('error', reject)
      asked.end(body)
    })
  }

  /** Sends a form, as a page of the site does. */
  sendForm(path: string, fields: Record<string, string>, headers: Record<string, string> = {}) {
    const type = { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' }
    return this.send('POST', path, { ...type, ...headers }, `${new URLSearchParams(fields)}`)
  }

  /** Lets the connection go. */
  close(): void {
    this.agent.destroy()
  }
}
