import { streamHistoryTables } from '@/app/plants/[code]/history/historyTable'
import { recordDownload } from '@/lib/access/session/recordDownload'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { getScope } from '@/lib/policy/principal'
import { getPlantHistory } from '@/lib/store/read/plant/plantHistory'
import { iteratePages } from '@/lib/store/scope/pages'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../../authorize'
import { withErrorHandling } from '../../../withErrorHandling'
import { noPlantReply } from '../noPlantReply'

const BATCH = 2_000

/** All settled samples of a plant as CSV, the last settled first. */
export const GET = withErrorHandling(
  async (request: Request, { params }: { params: Promise<{ code: string }> }) => {
    const principal = await authorize('GET /api/plants/[code]/history', request)
    if (principal instanceof Response) return principal
    const { code } = await params
    const read = (olderThan: string | null) =>
      getPlantHistory(getAppPool(), getScope(principal), code, olderThan, BATCH, Date.now())
    const first = await read(null)
    if (first === null) return noPlantReply(code)
    const download = { what: 'downloaded settled samples', subject: code, rows: first.total }
    await recordDownload(principal, request, download)
    return csvReply(`${code} settled samples`, streamHistoryTables(iteratePages(first, read)))
  },
)
