import { historyTables } from '@/app/plants/[code]/history/historyTable'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { scopeOf } from '@/lib/policy/principal'
import { plantHistory } from '@/lib/store/read/plant/plantHistory'
import { followPages } from '@/lib/store/scope/pages'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../../answering'
import { asked } from '../../../asked'
import { noPlantReply } from '../noPlantReply'

const BATCH = 2_000

/** A plant's settled samples as CSV, all of them, the last settled first. */
export const GET = answering(async (request: Request, { params }: { params: Promise<{ code: string }> }) => {
  const principal = await asked('GET /api/plants/[code]/history', request)
  if (principal instanceof Response) return principal
  const { code } = await params
  const read = (olderThan: string | null) =>
    plantHistory(sharedPool(), scopeOf(principal), code, olderThan, BATCH, Date.now())
  const first = await read(null)
  if (first === null) return noPlantReply(code)
  return csvReply(`${code} settled samples`, historyTables(followPages(first, read)))
})
