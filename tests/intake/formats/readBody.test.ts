import { createHash } from 'node:crypto'
import { describe, expect, onTestFinished, test, vi } from 'vitest'
import { LIMITS } from '@/lib/intake/formats/limits'
import { problem } from '@/lib/intake/formats/problem'
import { readBody as readBodyWithin } from '@/lib/intake/formats/readBody'

const readBody = (request: Request) => readBodyWithin(request, LIMITS.eventBytes)

/** A request whose body comes in chunks. */
function createRequest(...chunks: (Uint8Array | string)[]): Request {
  const body = new ReadableStream<Uint8Array>({
    pull(controller) {
      const chunk = chunks.shift()
      if (chunk === undefined) controller.close()
      else controller.enqueue(typeof chunk === 'string' ? new TextEncoder().encode(chunk) : chunk)
    },
  })
  return new Request('http://localhost/', { method: 'POST', body, duplex: 'half' } as RequestInit)
}

test('a digest is computed once, however often the header has it', async () => {
  const digest = `sha-256=:${createHash('sha256').update('short').digest('base64')}:`
  const read = (header: string) =>
    readBody(
      new Request('http://localhost/', {
        method: 'POST',
        body: 'short',
        headers: { 'content-digest': header },
      }),
    )
  expect(await read(digest)).toBe('short')
  expect(await read(`${digest}, ${digest}`)).toMatchObject({
    status: 400,
    detail: expect.stringContaining('each once'),
  })
})

test.each([
  [31_000, false],
  [33_000, true],
])('a bulk body that comes with %i bytes a second holds its place: %s', async (bytesPerSecond, isRead) => {
  let nowMs = 0
  const clock = vi.spyOn(performance, 'now').mockImplementation(() => nowMs)
  onTestFinished(() => clock.mockRestore())
  let seconds = 30
  const body = new ReadableStream<Uint8Array>({
    start: (controller) => controller.enqueue(new Uint8Array(LIMITS.bulkBytes + 1).fill(0x20)),
    pull(controller) {
      nowMs += 1_000
      seconds -= 1
      if (seconds < 0) controller.close()
      else controller.enqueue(new Uint8Array(bytesPerSecond).fill(0x20))
    },
  })
  const request = new Request('http://localhost/', { method: 'POST', body, duplex: 'half' } as RequestInit)
  const read = await readBody(request)
  if (isRead) expect(read).toHaveLength(LIMITS.bulkBytes + 1 + 30 * bytesPerSecond)
  else expect(read).toMatchObject({ status: 408, type: 'urn:holdfast:problem:body-too-slow' })
})

describe('the body of a request', () => {
  test('is decoded even if chunks split a character', async () => {
    const bytes = new TextEncoder().encode('Évora 𝄞')
    const chunks = Array.from(bytes, (byte) => new Uint8Array([byte]))
    expect(await readBody(createRequest(...chunks))).toBe('Évora 𝄞')
  })

  test('may be empty, or absent', async () => {
    expect(await readBody(createRequest())).toBe('')
    expect(await readBody(new Request('http://localhost/'))).toBe('')
  })

  test('is refused if it is not UTF-8', async () => {
    expect(await readBody(createRequest(new Uint8Array([0x7b, 0xe9, 0x7d])))).toMatchObject({ status: 400 })
  })

  test('is refused before its end if it is too large, and its rest is discarded', async () => {
    let left = 24
    const body = new ReadableStream({
      pull(controller) {
        left -= 1
        if (left < 0) controller.close()
        else controller.enqueue(new Uint8Array(1024 * 1024))
      },
    })
    const request = new Request('http://localhost/', { method: 'POST', body, duplex: 'half' } as RequestInit)
    expect(await readBody(request)).toMatchObject({
      status: 413,
      detail: expect.stringMatching(/8 MiB.*npm run load/),
    })
    expect(left).toBeGreaterThan(4)
    await vi.waitFor(() => expect(left).toBe(-1))
  })

  test('is read on after its refusal for 16 MiB, and others go before each chunk', async () => {
    let sent = 0
    let isCancelled = false
    let pauses = 0
    const body = new ReadableStream({
      pull(controller) {
        sent += 1
        controller.enqueue(new Uint8Array(1024 * 1024))
      },
      cancel() {
        isCancelled = true
      },
    })
    const request = new Request('http://localhost/', {
      method: 'POST',
      body,
      duplex: 'half',
      headers: { 'content-length': String(64 * 1024 * 1024) },
    } as RequestInit)
    const pause = async () => {
      pauses += 1
    }
    const read = await readBodyWithin(request, LIMITS.eventBytes, undefined, pause)
    expect(read).toMatchObject({ status: 413 })
    await vi.waitFor(() => expect(isCancelled).toBe(true))
    expect(pauses).toBe(16)
    expect(sent).toBeLessThanOrEqual(18)
  })

  test('is refused before its beginning if it says that it is too large', async () => {
    const request = new Request('http://localhost/', {
      method: 'POST',
      body: 'short',
      headers: { 'content-length': String(LIMITS.eventBytes + 1) },
    })
    expect(await readBody(request)).toMatchObject({ status: 413 })
  })

  test('is a problem, not an error, if it breaks off', async () => {
    const body = new ReadableStream({ pull: (controller) => controller.error(new Error('aborted')) })
    const request = new Request('http://localhost/', { method: 'POST', body, duplex: 'half' } as RequestInit)
    expect(await readBody(request)).toMatchObject({ status: 400, type: 'urn:holdfast:problem:broken-off' })
  })

  test('asks once for leave when it becomes a bulk body', async () => {
    const asked: string[] = []
    const busy = problem('busy', 429, 'Busy', 'Wait.')
    const read = (bytes: number) => {
      const part = new Uint8Array(64 * 1024).fill(32)
      const chunks = Array.from({ length: bytes / part.length }, () => part)
      return readBodyWithin(createRequest(...chunks), LIMITS.eventBytes, () => {
        asked.push(String(bytes))
        return asked.length > 1 ? busy : null
      })
    }
    expect(await read(LIMITS.bulkBytes)).toHaveLength(LIMITS.bulkBytes)
    expect(asked).toEqual([])
    expect(await read(1024 * 1024)).toHaveLength(1024 * 1024)
    expect(asked).toEqual(['1048576'])
    expect(await read(2 * 1024 * 1024)).toBe(busy)
  })

  test('lets others go before each chunk once it is a bulk body', async () => {
    const part = new Uint8Array(64 * 1024).fill(32)
    let pauses = 0
    const read = (parts: number) =>
      readBodyWithin(
        createRequest(...Array.from({ length: parts }, () => part)),
        LIMITS.eventBytes,
        () => null,
        async () => {
          pauses += 1
        },
      )
    const short = LIMITS.bulkBytes / part.length
    await read(short)
    expect(pauses).toBe(0)
    await read(short + 10)
    expect(pauses).toBe(10)
  })

  test('is compared with its Content-Digest, of which each algorithm comes once', async () => {
    const sha256 = (text: string) => `sha-256=:${createHash('sha256').update(text).digest('base64')}:`
    const read = (header: string) =>
      readBody(
        new Request('http://localhost/', {
          method: 'POST',
          body: 'body',
          headers: { 'content-digest': header },
        }),
      )
    expect(await read(sha256('body'))).toBe('body')
    const refused = { status: 400, type: 'urn:holdfast:problem:content-digest' }
    expect(await read(sha256('other'))).toMatchObject(refused)
    expect(await read(`${sha256('body')}, ${sha256('body')}`)).toMatchObject(refused)
  })
})
