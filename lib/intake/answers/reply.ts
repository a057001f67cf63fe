import { PROBLEM_CONTENT_TYPE, type Problem } from '../formats/problem'

export function problemReply(problem: Problem): Response {
  return new Response(JSON.stringify(problem), {
    status: problem.status,
    headers: { 'content-type': PROBLEM_CONTENT_TYPE, 'cache-control': 'no-store' },
  })
}

const JSON_HEADERS = { 'content-type': 'application/json', 'cache-control': 'no-store' }

/** JSON that no cache may store. */
export function jsonReply(body: unknown, status = 200): Response {
  return new Response(JSON.stringify(body), { status, headers: JSON_HEADERS })
}

/** The same, encoded in pieces, which are sent as fast as the client reads. */
export function piecesReply(pieces: readonly Uint8Array[], status: number): Response {
  const left = pieces[Symbol.iterator]()
  const body = new ReadableStream<Uint8Array>({
    pull(controller) {
      const { done, value } = left.next()
      if (done) controller.close()
      else controller.enqueue(value)
    },
  })
  return new Response(body, { status, headers: JSON_HEADERS })
}
