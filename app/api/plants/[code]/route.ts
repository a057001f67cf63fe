import { scopeOf } from '@/lib/access/principal'
import { problem } from '@/lib/intake/problem'
import { jsonReply, problemReply } from '@/lib/intake/reply'
import { plantPage } from '@/lib/store'
import { answering } from '../../answering'
import { asked } from '../../asked'

/** One plant as JSON, for a page that stays open. */
export const GET = answering(async (request: Request, { params }: { params: Promise<{ code: string }> }) => {
  const principal = await asked('GET /api/plants/[code]', request)
  if (principal instanceof Response) return principal
  const { code } = await params
  const plant = await plantPage(scopeOf(principal), code, Date.now())
  if (plant) return jsonReply(plant)
  return problemReply(problem('no-plant', 404, 'No such plant', `The register has no plant "${code}".`))
})
