import { describe, expect, test } from 'vitest'
import { MAX_BODY_BYTES, readBody } from '@/lib/intake/formats/readBody'

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

  test('may have 50 MB', async () => {
    const part = new Uint8Array(1_000_000).fill(32)
    const text = await readBody(createRequest(...Array.from({ length: 50 }, () => part)))
    expect(text).toHaveLength(50_000_000)
  })

  test('is refused before its end if it is too large', async () => {
    const part = new Uint8Array(1024 * 1024)
    const chunks = Array.from({ length: MAX_BODY_BYTES / part.length + 20 }, () => part)
    const request = createRequest(...chunks)
    expect(await readBody(request)).toMatchObject({ status: 413, detail: expect.stringContaining('64 MiB') })
  })
})
