/** The query of an address as Next hands it to a page. */
export type SearchParams = Record<string, string | string[] | undefined>
