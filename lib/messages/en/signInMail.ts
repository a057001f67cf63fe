/** The mail with a link and a code to sign in. */
export const signInMail = {
  'signInMail.subject': 'Sign in to Holdfast at {host}',
  'signInMail.open': 'Open this link and press the button on the page:',
  'signInMail.code': 'Or type this code where you asked for this mail:',
  'signInMail.limits':
    '{minutes, plural, one {The link and the code work once, for # minute; when you use one, the other stops working.} other {The link and the code work once, for # minutes; when you use one, the other stops working.}}',
  'signInMail.unasked':
    'If you did not ask for this mail, somebody typed your address. Nothing happens unless you use it.',
} as const
