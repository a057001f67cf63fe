export const AT_ONCE_KINDS = ['at risk', 'lapsed', 'arrived'] as const

/** What can be told at once of a sample. */
export type AtOnceKind = (typeof AT_ONCE_KINDS)[number]
