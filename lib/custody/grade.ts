/** How grave a finding is: a note is only told; a hold puts the sample in question until someone rules on it. */
export const GRADES = ['note', 'hold'] as const
export type Grade = (typeof GRADES)[number]
