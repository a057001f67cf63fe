import { jsonReply } from '@/lib/intake/answers/reply'
import { getScope } from '@/lib/policy/principal'
import { getPlantPage } from '@/lib/store/read/plant/plantPage'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { noPlantReply } from './noPlantReply'

/** One plant as JSON, for a page that stays open. */
export const GET = withErrorHandling(
  async (request: Request, { params }: { params: Promise<{ code: string }> }) => {
    const principal = await authorize('GET /api/plants/[code]', request)
    if (principal instanceof Response) return principal
    const { code } = await params
    const plant = await getPlantPage(getAppPool(), getScope(principal), code, Date.now())
    return plant ? jsonReply(plant) : noPlantReply(code)
  },
)
