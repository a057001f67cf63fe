import { Agent, request } from 'node:http'
import { performance } from 'node:perf_hooks'

/** A response over HTTP, with the time from sending the request to the last byte. */
export interface TimedAnswer {
  status: number
  headers: NodeJS.Dict<string | string[]>
  body: string
  tookMs: number
}

/** Sends requests one at a time over one kept connection. */
export class TimedClient {
  private readonly agent: Agent

  /** @param from the source address, in 127.0.0.0/8; default 127.0.0.1. */
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

  /** Sends a form as a page of the site does. */
  sendForm(path: string, fields: Record<string, string>, headers: Record<string, string> = {}) {
    const type = { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' }
    return this.send('POST', path, { ...type, ...headers }, `${new URLSearchParams(fields)}`)
  }

  close(): void {
    this.agent.destroy()
  }
}
