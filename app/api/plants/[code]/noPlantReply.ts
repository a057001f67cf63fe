import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'

/** The same for an unknown plant and for one that the reader may not see. */
export const noPlantReply = (code: string) =>
  problemReply(problem('no-plant', 404, 'No such plant', `The register has no plant "${code}".`))
