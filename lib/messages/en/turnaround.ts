/** How long each stage of a sample’s way takes, and the programme’s figures. */
export const turnaround = {
  'turnaround.caption': 'Samples whose kits were issued in the last twelve months',
  'turnaround.column.stage': 'Stage',
  'turnaround.column.median': 'Median',
  'turnaround.column.p90': '90th percentile',
  'turnaround.column.finished': 'Finished',
  'turnaround.column.inProgress': 'In progress',
  'turnaround.about':
    'A stage in progress counts as lasting at least as long as it has, and a lost or returned sample as never finishing it, so that the slow ones are not forgotten. “Not reached” means that too many are unfinished to tell.',
  'turnaround.leftOut':
    'Left out: {notReported, number} whose end was never reported, {outOfOrder, number} whose end is dated before their beginning.',
  'turnaround.noneYet': 'none yet',
  'turnaround.notReached': 'not reached',
  'turnaround.withheld': 'withheld',
  'turnaround.stage.cut': 'made to cut',
  'turnaround.stage.dock': 'delivered to received',
  'turnaround.stage.receiptToReport': 'received to report, in all',

  'figures.title': 'Figures',
  'figures.heading': 'The programme as a whole',
  'figures.about':
    'As of {time}, over all plants. A figure is shown only where three makers or more stand behind it; plants that name no maker count as one. If a total is shown, a second figure is withheld so that the first cannot be worked out.',
  'figures.open.heading': 'Samples under way, by standing',
  'figures.open.total': '{total, number} in all',
  'figures.open.totalWithheld': 'The total is withheld',
  'figures.open.standing': 'Standing',
  'figures.open.samples': 'Samples',
  'figures.months.heading': 'How samples settled, by month',
  'figures.months.none': 'No sample was settled in the last twelve months.',
  'figures.months.label': 'How samples settled, month by month',
  'figures.months.caption':
    'By the month (UTC) in which a sample was settled, newest first. The share kept is of those kept, kept by extension and lapsed.',
  'figures.months.month': 'Month',
  'figures.months.shareKept': 'share kept',
  'figures.stages.heading': 'How long each stage takes',
  'figures.name.keptByExtension': 'kept by extension',
} as const
