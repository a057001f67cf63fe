/** The pages of the menu. */
export const policy = {
  'nav.board': 'Board',
  'nav.due': 'Due',
  'nav.arrivals': 'Arrivals',
  'nav.receiving': 'Receiving',
  'nav.lanes': 'Lanes',
  'nav.figures': 'Figures',
  'nav.digest': 'Weekly mail',
  'nav.unplaced': 'Unmatched events',
  'nav.setup': 'Set-up',
  'nav.keys': 'API keys',
  'nav.audit': 'Audit log',
  'nav.server': 'Server',
} as const
