/** Why a mail server did not accept a mail, and what cures it: for an administrator. */
export const smtp = {
  'smtp.unknownIssuer':
    'No mail went to {host}: its certificate is signed by nobody who is trusted here ({message}). Set SMTP_CA to a file with the issuer’s certificate.',
  'smtp.otherHost':
    'No mail went to {host}: its certificate is another server’s. Use the name in its certificate in SMTP_URL. {message}',
  'smtp.expired':
    'No mail went to {host}: its certificate is not valid now ({message}). Renew it, and check the clocks.',
  'smtp.noImplicitTls':
    'No mail went to {host}: it does not speak TLS from the first word, as smtps:// and port 465 require. If it offers STARTTLS, begin SMTP_URL with smtp:// and name its port.',
  'smtp.noStartTls':
    'No mail went to {host}: it does not offer STARTTLS, and a password is not sent without TLS. Make it offer STARTTLS, or remove the password from SMTP_URL. {message}',
  'smtp.unreachable':
    'The mail server {host} could not be reached ({message}). Start it, or correct SMTP_URL.',
  'smtp.timeout': '{message}. If the server speaks TLS from the first word, begin SMTP_URL with smtps://.',
  'smtp.mayHaveArrived':
    'The server stopped, or lost its database, after it began to hand over the mail. The mail may have arrived, so it is not sent again by itself.',
} as const
