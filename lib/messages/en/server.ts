/** What the server says about itself: to whoever watches it (in English), and on the page for administrators. */
export const server = {
  'server.database.ok': 'The database answers and takes writes.',
  'server.database.unreachable': 'The database does not answer.',
  'server.database.unreachableAdvice':
    'Start PostgreSQL, or correct DATABASE_URL. The embedded one starts with npm start; its log is engine.log in the data folder.',
  'server.database.missing': 'The database is not there.',
  'server.database.missingAdvice': 'Stop the server, restore a backup or start anew, and start it again.',
  'server.database.crowded': 'The database has no connection left.',
  'server.database.crowdedAdvice': 'Stop programs that hold connections, or raise max_connections.',
  'server.database.readOnly': 'The database is read-only.',
  'server.database.readOnlyAdvice':
    'It is a standby, or default_transaction_read_only is set. Point DATABASE_URL at the primary, or set it to off.',
  'server.database.full': 'The disk of the database is full.',
  'server.database.fullAdvice': 'Make room on that disk. Holdfast goes on by itself.',
  'server.migrations.ok': 'The migrations are those of this program.',
  'server.migrations.others': 'The migrations are not those of this program.',
  'server.migrations.othersAdvice':
    'Another version has migrated the database. Install that version, or start this one again to migrate.',
  'server.queue.ok': 'The queue moves.',
  'server.queue.demo': 'The demo has no mail to queue.',
  'server.queue.still':
    'Nobody has looked for due mail for {minutes, plural, one {# minute} other {# minutes}}.',
  'server.queue.stillAdvice': 'Start the server with npm start; the web server alone sends no mail.',
  'server.queue.waiting': 'A mail has been waiting for {hours, plural, one {# hour} other {# hours}}.',
  'server.queue.waitingAdvice': 'The page “Weekly mail” says what the mail server answered.',
  'server.mail.ok': 'The mail server takes mail.',
  'server.mail.none': 'No mail was due yet.',
  'server.mail.demo': 'The demo sends no mail.',
  'server.mail.outbox': 'There is no mail server: mail goes to the outbox and nobody receives it.',
  'server.mail.outboxAdvice': 'Set SMTP_URL and start the server again.',
  'server.mail.refused':
    '{count, plural, one {One mail was not taken by the mail server and waits} other {# mails were not taken by the mail server and wait}}.',
  'server.mail.refusedAdvice':
    'The page “Weekly mail” says what the mail server answered. They are tried again.',
  'server.mail.signIn': 'The last sign-in mail could not be sent.',
  'server.mail.signInAdvice':
    'The log and the audit log (“mailed a sign-in link”) say why. Check SMTP_URL and the mail server, then sign in by mail again.',
  'server.mail.doubt':
    '{count, plural, one {One mail of the last seven days did not arrive, or may not have} other {# mails of the last seven days did not arrive, or may not have}}.',
  'server.mail.doubtAdvice': 'Ask the readers, and have the mail sent again on the page “Weekly mail”.',
  'server.disk.ok': 'The disk of the data folder has room.',
  'server.disk.little': 'The disk of the data folder has less than 1 GB left.',
  'server.disk.littleAdvice':
    'Make room, for example by moving old backups to another machine, or move the data folder to a larger disk.',
  'server.backup.ok': 'The last backup is recent.',
  'server.backup.demo': 'The demo is not backed up.',
  'server.backup.elsewhere': 'No backup is scheduled here.',
  'server.backup.soon': 'The first backup is made within a day.',
  'server.backup.none': 'No backup has been made yet.',
  'server.backup.old': 'The last good backup is {days, plural, one {# day} other {# days}} old.',
  'server.backup.failed': 'The last backup failed.',
  'server.backup.advice': 'Make one with npm run backup -- FILE; it says what is wrong.',
} as const
