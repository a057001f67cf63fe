import { createHash, timingSafeEqual } from 'node:crypto'
import { readServerMetrics } from '@/lib/store/server/serverMetrics'
import { getMetricsToken } from '@/lib/store/site'
import { renderMetrics } from '@/lib/telemetry/metrics'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'

/** The metrics of this process as OpenMetrics, for administrators and for who has the token of HOLDFAST_METRICS_TOKEN. */
export const GET = withErrorHandling(async (request: Request) => {
  if (!hasToken(request)) {
    const principal = await authorize('GET /api/metrics', request)
    if (principal instanceof Response) return principal
  }
  const { text, type } = await renderMetrics(await readServerMetrics(Date.now()))
  return new Response(text, { headers: { 'content-type': type, 'cache-control': 'no-store' } })
})

/** The comparison takes as long whatever was sent. A wrong token is looked up, and counted, as a key. */
function hasToken(request: Request): boolean {
  const token = getMetricsToken()
  const [, given] = /^Bearer (.+)$/.exec(request.headers.get('authorization') ?? '') ?? []
  return token !== undefined && given !== undefined && timingSafeEqual(digest(token), digest(given))
}

const digest = (text: string) => createHash('sha256').update(text).digest()
