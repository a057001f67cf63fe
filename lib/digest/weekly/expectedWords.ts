import { displayCode } from '@/lib/judgement/dueWords'
import { recordPath } from '@/lib/judgement/settlingPath'
import { ACTS } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import { began } from '@/lib/schedule/milestoneWords'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { ComingConsignment } from '@/lib/store/read/arrivals/arrivals'
import type { DateWords } from './dateWords'
import type { ItemWords } from './item'
import { listed } from './listed'
import { productOf } from './sampleWords'

/** What is on its way to a laboratory. */
export function expectedItem(
  { samples, plant, p50, lateSinceDay }: ComingConsignment,
  words: DateWords,
): ItemWords {
  const codes = samples.map(({ code }) => displayCode(code))
  const [first] = samples as [SampleRow]
  const isOne = samples.length === 1
  const isDelivered = samples.every(({ stage }) => stage === 'delivered')
  const what = isOne ? `${codes[0]} (${productOf(first)})` : `${codes.length} samples`
  const dues = samples.flatMap(({ binding }) => binding?.dueAt ?? [])
  const dueAt = Math.min(...dues)
  const facts = [
    ...(isOne ? [] : [listed(codes, 4)]),
    ...(isDelivered ? [`the carrier says ${began('delivered')}`] : []),
    ...(lateSinceDay === null ? [] : ['later than 95 of 100 like it']),
  ]
  const likely = p50 === null ? null : `likely by ${words.localDay(p50, first.laboratoryZone)}`
  return {
    act: `${isDelivered ? capitalised(ACTS.receive.asks(what)) : `Expect ${what}`} from ${plant.name}`,
    why: facts.length > 0 ? facts.join('; ') : null,
    when: isDelivered || lateSinceDay !== null ? null : likely,
    stake:
      dues.length === 0 ? null : `${isOne ? 'Its' : 'The first'} hold limit is ${words.ownDeadline(dueAt)}.`,
    path: isOne ? recordPath(first.code, isDelivered ? 'received' : null) : '/receiving',
    asksToCut: false,
  }
}
