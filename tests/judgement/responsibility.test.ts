import { expect, test } from 'vitest'
import { type ActingRoles, isResponsible, mayResolve } from '@/lib/judgement/responsibility'
import type { Actor } from '@/lib/schedule/act'
import { ADMINISTRATOR, NOBODY } from '../judgement/responsibleViewer'

const ACTORS: Actor[] = [
  { by: 'programme' },
  { by: 'plant', code: 'MILL' },
  { by: 'plant', code: 'OTHER' },
  { by: 'laboratory', code: 'NORTH' },
  // Plant and laboratory codes share one name space, but only the person's own role counts.
  { by: 'laboratory', code: 'MILL' },
]

test.each<[string, ActingRoles, boolean[], boolean[]]>([
  ['nobody', NOBODY, [false, false, false, false, false], [false, false, false, false, false]],
  ['an administrator', ADMINISTRATOR, [true, false, false, false, false], [true, true, true, true, true]],
  [
    'a plant’s contact',
    { ...NOBODY, plants: ['MILL'] },
    [false, true, false, false, false],
    [false, true, false, false, false],
  ],
  [
    'a laboratory’s desk',
    { ...NOBODY, laboratories: ['NORTH'] },
    [false, false, false, true, false],
    [false, false, false, true, false],
  ],
])('%s has to do what is theirs, and may settle that or everything', (_, part, acts, settles) => {
  expect(ACTORS.map((actor) => isResponsible(actor, part))).toEqual(acts)
  expect(ACTORS.map((actor) => mayResolve(actor, part))).toEqual(settles)
})
