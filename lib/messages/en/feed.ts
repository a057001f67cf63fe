/** A plant's calendar, as calendar programs show it. */
export const feed = {
  'feed.name': 'Due at {plant}',
  'feed.overdue': 'Overdue: {act}',
  'feed.overdueWithOther': 'Overdue with {actor}: {act}',
  'feed.withOther': '{actor}: {act}',
  'feed.actAndReason': '{act}. {why}',
  'feed.by': 'To be done by {day}.',
  'feed.actBy': '{act} by {day} at the latest ({zone}).',
  'feed.overdueSince': 'Overdue since {day} ({zone}).',
  'feed.product': 'Product: {product}.',
  'feed.responsible': 'Responsible: {actor}.',
  'feed.blocked': 'The step before it is overdue.',
  'feed.reportDue': 'The report is due on {day}.',
  'feed.missing.title': 'No such calendar',
  'feed.missing.detail':
    'This address is incomplete or was revoked, or the person who created it may no longer see what is due at the plant. Create a new one on the page “What is due”.',
  'feed.tooSoon': 'A calendar program may ask at most once an hour.',
} as const
