/** What frames every page: its head, and what stands there when a page or the server is missing. */
export const site = {
  'site.skip': 'Skip to the content',
  'site.navigation': 'Pages',
  'site.signOut': 'Sign out',
  'site.loading': 'loading …',
  'site.demo':
    'Demo programme: invented plants, invented data. <command>Remove it with <code>npm run demo -- --remove</code>.</command>',
  'site.unreachable':
    'No answer from the server since {since}. The page shows what was known at {asOf}; time left keeps counting. Trying again.',
  'site.navigationBlocked': 'No other page can be opened until the server answers.',

  'site.error.title': 'This page could not be made · Holdfast',
  'site.error.heading': 'This page could not be made.',
  'site.error.cause':
    'The server could not read the data for it; most often its database does not answer. Nothing that was accepted is lost.',
  'site.error.retry': 'Try again',
  'site.error.log': 'The server’s log has the cause under <code>{digest}</code>.',
  'site.unavailable.heading': 'This page cannot be shown now.',
  'site.unavailable.busy':
    'The database is busy or locked. Try again in a minute. Nothing that was accepted is lost.',
  'site.unavailable.unreachable': 'The database does not answer. Nothing that was accepted is lost.',
  'site.unavailable.missing': 'The database is not there. Whoever runs the server has to restore it.',
  'site.unavailable.crowded':
    'The database has no connection left. Try again in a minute. Nothing that was accepted is lost.',
  'site.unavailable.readOnly':
    'The database does not accept changes at present. Whoever runs the server has to change that. Nothing that was accepted is lost.',
  'site.unavailable.full':
    'The disk of the database is full. Whoever runs the server has to make room. Nothing that was accepted is lost.',
  'site.limit.heading': 'Too many pages in one minute.',
  'site.limit.cause':
    'The server limits how many pages one person, or one address without a session, may open in a minute. Wait {seconds} s, then try again.',
  'site.notFound.title': 'Page not found',
  'site.notFound.heading': 'There is no page for you at this address.',
  'site.notFound.board':
    'The address may have been copied with a letter missing, or it is for others to see. <link>The board</link> shows all your samples under way, and its search finds settled ones too.',
  'site.notFound.home':
    'The address may have been copied with a letter missing, or it is for others to see. <link>Go to your start page</link>.',
  'site.notFound.signIn':
    'The address may have been copied with a letter missing, or it is for others to see. <link>Sign in</link>.',
} as const
