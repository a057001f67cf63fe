import { expect, test } from 'vitest'
import { AT_PLANT, CUT_AND_NOT_RECEIVED, listMilestones, MILESTONES, UNDER_WAY } from '@/lib/hold/milestone'

test('what has reached one milestone and not another is told by its last one', () => {
  expect(listMilestones('sealed', 'received')).toEqual(['sealed', 'dispatched', 'delivered'])
  expect(listMilestones('produced', 'reported')).toEqual(MILESTONES.slice(0, -1))
  expect(listMilestones('sealed', 'sealed')).toEqual([])
})

test('where a sample is by its last milestone', () => {
  expect(AT_PLANT).toEqual(['produced', 'collected', 'sealed'])
  expect(UNDER_WAY).toEqual(['dispatched', 'delivered'])
  expect(CUT_AND_NOT_RECEIVED).toEqual(['collected', 'sealed', 'dispatched', 'delivered'])
})
