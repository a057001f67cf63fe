/** What a person chooses about their mail. */
export const mailPreferences = {
  'mailPreferences.title': 'Your mail',
  'mailPreferences.saved': 'Saved.',
  'mailPreferences.intro':
    'Once a week, a mail lists what is yours to do. Alerts come at once, if you choose them. <link>See your next mail and past ones.</link>',
  'mailPreferences.notSaved': 'Nothing was saved. Correct the fields below.',
  'mailPreferences.weekly': 'Weekly mail',
  'mailPreferences.weekly.wanted': 'Send it to me',
  'mailPreferences.weekly.quiet': 'Also when nothing is overdue',
  'mailPreferences.alerts': 'Alerts, each a mail of its own',
  'mailPreferences.alerts.stopped':
    'You have stopped alerts, including those of people you stand in for. Choose one to get alerts again.',
  'mailPreferences.language': 'Language of dates',
  'mailPreferences.language.hint': 'Such as en-GB, de or pt-BR.',
  'mailPreferences.standIn': 'While you are away, send it to',
  'mailPreferences.standIn.hint':
    'Someone at one of your plants or laboratories. If they may not see everything that is yours to do, your mail comes to you.',
  'mailPreferences.standIn.nobody': 'nobody else',
  'mailPreferences.standIn.none':
    'While you are away, your mail can go to someone else at your plants or laboratories. Nobody else is entered there yet; an administrator can enter them.',
  'mailPreferences.from': 'First day away',
  'mailPreferences.until': 'Last day away',
  'mailPreferences.save': 'Save',
  'mailPreferences.fault.language':
    'Dates cannot be written in “{language}”. Enter a language such as en-GB, de or pt-BR.',
  'mailPreferences.fault.standIn':
    'That person is no longer at any of your plants or laboratories. Choose another, or nobody.',
  'mailPreferences.fault.from': 'Enter your first day away, as year-month-day.',
  'mailPreferences.fault.until': 'Enter your last day away, as year-month-day.',
  'mailPreferences.fault.order': 'The last day is before the first. Enter a later one.',
} as const
