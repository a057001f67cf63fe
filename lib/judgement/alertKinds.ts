export const ALERT_KINDS = ['at risk', 'lapsed', 'arrived'] as const

/** What can be told at once of a sample. */
export type AlertKind = (typeof ALERT_KINDS)[number]
