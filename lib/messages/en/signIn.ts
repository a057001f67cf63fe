/** Signing in: by a mailed link or code, by a passkey, and as one of the demo’s people. */
export const signIn = {
  'signIn.title': 'Sign in',
  'signIn.email': 'Your e-mail address',
  'signIn.submit': 'Mail me a link',
  'signIn.fault.link':
    'That link no longer works: it was already used, or is more than {minutes, number} minutes old. Ask for a new mail.',
  'signIn.fault.passkey': 'That passkey was not accepted. Try again, or ask for a mailed link.',
  'signIn.fault.address': 'That is not an e-mail address. Type it in full, such as name@example.org.',
  'signIn.passkey.use': 'Use a passkey',
  'signIn.passkey.failed': 'The passkey was not accepted. Try again, or ask for a mailed link.',
  'signIn.demo.title': 'Explore the demo',
  'signIn.demo.intro': 'Everything in it is invented. Sign in as',
  'signIn.demo.elsewhere':
    'Everything in it is invented. Only a browser on the machine that runs it can enter with one press, by the address localhost. Anyone else needs a link: run <command>npm run admin -- you@example.org --demo</command> there and open what it prints.',
  'signIn.demo.administrator': 'administrator',
  'signIn.demo.reader': 'reader',
  'signIn.demo.plantContact': 'plant contact',
  'signIn.demo.laboratoryDesk': 'laboratory desk',
  'signIn.outbox':
    'No mail server is configured, so mail is written to <file>{outbox}</file> and nobody receives it. Set <variable>SMTP_URL</variable> and restart. Only administrators see this notice.',
  'signIn.code.title': 'Check your mail',
  'signIn.code.intro':
    'If Holdfast knows the address, a mail with a link and a code is on its way. Open the link on the device you want to use, or type the code here. Each works once, for {minutes, number} minutes.',
  'signIn.code.linkOnly':
    'If Holdfast knows the address, a mail with a link is on its way. Open the link on the device you want to use. It works once, for {minutes, number} minutes. The mail has no code, because many were asked for from your network.',
  'signIn.code.noMail':
    'No mail? Look in your spam folder, or <again>ask again</again>. The programme’s administrator decides who can sign in.',
  'signIn.code.label': 'Code',
  'signIn.code.submit': 'Sign in',
  'signIn.code.wrong':
    'That is not the code of the last mail. {left, plural, one {# try} other {# tries}} left.',
  'signIn.code.spent':
    'This code no longer works: it was used, is too old, or was mistyped too often. If you have not used it, open the link in the same mail, or ask for a new one.',
  'signIn.link.title': 'Sign in to Holdfast',
  'signIn.link.intro': 'Press once, on the device you want to use.',
  'signIn.link.submit': 'Sign in here',
  'signIn.link.brokenTitle': 'This link is incomplete',
  'signIn.link.broken':
    'Part of the address is missing. Open it from the mail again, or <again>ask for a new one</again>.',
  'signIn.link.tooMany.heading': 'Too many links that do not work',
  'signIn.link.tooMany.detail':
    'Your network sent many sign-in links that do not work. Ask for a new mail; its link works at once. Try this link again in {seconds, plural, one {one second} other {# seconds}}.',
  'signIn.tooMany.heading': 'No further mail was sent',
  'signIn.tooMany.detail':
    'Too many sign-in mails were asked for, for this address or from your network. {minutes, plural, one {Another can be sent in a minute.} other {Another can be sent in # minutes.}} You need not wait: each link that was mailed in the last 15 minutes works once, whoever asked for it. A mailed code works in the browser that asked for it, and a passkey works always.',
  'signIn.tooMany.code': 'Enter a mailed code',
  'signIn.tooMany.back': 'Back to sign-in',
} as const
