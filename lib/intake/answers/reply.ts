import { PROBLEM_CONTENT_TYPE, type Problem } from '../formats/problem'

/** A problem report as an HTTP response. */
export function problemReply(problem: Problem): Response {
  return new Response(JSON.stringify(problem), {
    status: problem.status,
    headers: { 'content-type': PROBLEM_CONTENT_TYPE, 'cache-control': 'no-store' },
  })
}

/** JSON as an HTTP response that nothing between us and the asker may keep. */
export function jsonReply(body: unknown, status = 200): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: { 'content-type': 'application/json', 'cache-control': 'no-store' },
  })
}
