export const ALERT_KINDS = ['at risk', 'lapsed', 'arrived'] as const

/** A change of a sample that people can be alerted to. */
export type AlertKind = (typeof ALERT_KINDS)[number]
