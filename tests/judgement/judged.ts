import type { Kit } from '@/lib/custody/register'
import { judge } from '@/lib/judgement/judge'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import type { Programme } from '@/lib/schedule/owedTests'
import { type EventInput, kit, makeProgramme } from '../schedule/programme'
import { registerWithLimit } from './overdueCases'

export const ONE = kit('AAAA222')
export const TWO = kit('BBBB333')
/** A week from the cut to the carrier. */
export const LONG = registerWithLimit('cut to carrier', 168)
/** The finding desk/d, unless another id is given. */
export const found = (at: string, id = 'd'): EventInput => [
  'deviation',
  at,
  { id, facts: { what: 'bag torn' } },
]
export const ruled = (at: string, ruling: string): EventInput => [
  'ruling',
  at,
  { facts: { on: 'desk/d', ruling, reason: 'looked at' } },
]

/** The judgement of the first of some kits, in a form that is easy to read. */
export function judged(
  now: string,
  said: readonly (readonly [Kit, readonly EventInput[]])[],
  more: Partial<Pick<Programme, 'register' | 'pace'>> = {},
) {
  const programme = makeProgramme(now, said, more)
  const [sample] = programme.samples
  if (!sample) throw new Error('no sample')
  const { acts, ...rest } = judge(sample, new ProgrammeIndex(programme))
  return {
    ...rest,
    lead: acts[0]?.act ?? null,
    acts: acts.map(({ act, actor }) => `${actor.by}: ${act}`),
    whole: acts,
  }
}
