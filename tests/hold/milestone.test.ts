import { expect, test } from 'vitest'
import { AT_PLANT, CUT_AND_NOT_RECEIVED, listMilestones, MILESTONES, UNDER_WAY } from '@/lib/hold/milestone'

test('the last milestone shows what a sample has reached and what not', () => {
  expect(listMilestones('sealed', 'received')).toEqual(['sealed', 'dispatched', 'delivered'])
  expect(listMilestones('produced', 'reported')).toEqual(MILESTONES.slice(0, -1))
  expect(listMilestones('sealed', 'sealed')).toEqual([])
})

test('the last milestone shows where a sample is', () => {
  expect(AT_PLANT).toEqual(['produced', 'collected', 'sealed'])
  expect(UNDER_WAY).toEqual(['dispatched', 'delivered'])
  expect(CUT_AND_NOT_RECEIVED).toEqual(['collected', 'sealed', 'dispatched', 'delivered'])
})
