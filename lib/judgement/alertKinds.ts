export const ALERT_KINDS = ['at risk', 'lapsed', 'arrived', 'hold'] as const

/** A change of a sample that people can be alerted to. `hold`: something was found that has to be ruled on. */
export type AlertKind = (typeof ALERT_KINDS)[number]

/** The kinds that people are alerted to unless they choose otherwise. */
export const DEFAULT_ALERTS: readonly AlertKind[] = ['hold']
