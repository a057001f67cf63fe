import { jsonReply } from '@/lib/intake/answers/reply'
import { scopeOf } from '@/lib/policy/principal'
import { plantPage } from '@/lib/store/read/plant/plantPage'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { noPlantReply } from './noPlantReply'

/** One plant as JSON, for a page that stays open. */
export const GET = answering(async (request: Request, { params }: { params: Promise<{ code: string }> }) => {
  const principal = await asked('GET /api/plants/[code]', request)
  if (principal instanceof Response) return principal
  const { code } = await params
  const plant = await plantPage(sharedPool(), scopeOf(principal), code, Date.now())
  return plant ? jsonReply(plant) : noPlantReply(code)
})
