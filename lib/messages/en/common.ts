/** What several pages and mails say. */
export const common = {
  'common.description':
    'Which sample will be in the chamber before its hold limit, and who has to act today.',
  'common.footer': 'Holdfast informs; the laboratory and the programme decide.',
} as const
