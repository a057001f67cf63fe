/** The mail with a link and a code to sign in. */
export const signInMail = {
  'signInMail.subject': 'Sign in to Holdfast at {host}',
  'signInMail.open': 'Open this link and press the button on the page:',
  'signInMail.code': 'Or type this code where you asked for this mail:',
  'signInMail.limits':
    '{minutes, plural, one {The link and the code work once, for # minute; when you use one, the other stops working.} other {The link and the code work once, for # minutes; when you use one, the other stops working.}}',
  'signInMail.limits.link':
    '{minutes, plural, one {The link works once, for # minute. This mail has no code, because many were asked for from the same network.} other {The link works once, for # minutes. This mail has no code, because many were asked for from the same network.}}',
  'signInMail.unasked':
    'If you did not ask for this mail, somebody typed your address. Nothing happens unless you use it.',
} as const
