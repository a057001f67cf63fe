import { scopeOf } from '@/lib/access/principal'
import { visitor } from '@/lib/access/visitor'
import { problem } from '@/lib/intake/problem'
import { jsonReply, problemReply } from '@/lib/intake/reply'
import { plantPage } from '@/lib/store'

/** One plant as JSON, for a page that stays open. */
export async function GET(
  _request: Request,
  { params }: { params: Promise<{ code: string }> },
): Promise<Response> {
  const { code } = await params
  const plant = await plantPage(scopeOf(await visitor()), code, Date.now())
  if (plant) return jsonReply(plant)
  return problemReply(problem('no-plant', 404, 'No such plant', `The register has no plant "${code}".`))
}
