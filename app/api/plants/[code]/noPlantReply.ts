import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'

/** The same for a code that no plant has and for a plant that is not the asker's to see. */
export const noPlantReply = (code: string) =>
  problemReply(problem('no-plant', 404, 'No such plant', `The register has no plant "${code}".`))
