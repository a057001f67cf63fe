/** What has to be done when, and what is set aside. */
export const schedule = {
  // {sample} is a kit code, or "it" where the sample stands beside it.
  'lastCut.tooLate':
    '{sample, select, it {Its report can hardly be in time any more, even if it is cut today.} other {The report can hardly be in time any more, even if {sample} is cut today.}}',
  'lastCut.inTime':
    '{sample, select, it {Its report can still be in time if it is cut by {day} and travels as fast as half of all shipments on its lane.} other {The report can still be in time if {sample} is cut by {day} and travels as fast as half of all shipments on its lane.}}',

  'setAside.fault.day': 'Enter the day until which it can wait, such as 2026-12-04.',
  'setAside.fault.past': 'Enter today or a later day.',
  'setAside.fault.tooLong': 'Enter a day within the next {days, number} days.',
  'setAside.fault.reason': 'Say why it can wait.',
  'setAside.fault.reasonTooLong': 'Keep the reason to {max, number} characters.',
} as const
