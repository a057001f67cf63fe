import { PROBLEM_CONTENT_TYPE, type Problem } from '../formats/problem'

export function problemReply(problem: Problem): Response {
  return new Response(JSON.stringify(problem), {
    status: problem.status,
    headers: { 'content-type': PROBLEM_CONTENT_TYPE, 'cache-control': 'no-store' },
  })
}

/** JSON that no cache may store. */
export function jsonReply(body: unknown, status = 200): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: { 'content-type': 'application/json', 'cache-control': 'no-store' },
  })
}
