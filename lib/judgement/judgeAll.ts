import { type Judgement, judge } from './judge'
import type { ProgrammeIndex } from './programmeIndex'
import type { ActSubject } from './resolutionPath'

/** A sample with its judgement, as mails and feeds name it. */
export interface JudgedSubject extends ActSubject {
  judgement: Judgement
}

/** Judges every sample of a programme. */
export function judgeAll(index: ProgrammeIndex): JudgedSubject[] {
  return index.programme.samples.map((sample) => {
    const { code, plant, laboratory, service } = sample.kit
    return {
      sample: code,
      plant,
      laboratory,
      product: sample.product,
      service,
      judgement: judge(sample, index),
    }
  })
}
