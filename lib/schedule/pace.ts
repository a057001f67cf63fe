/** A lane: one plant to one laboratory by one carrier service, null while none is known. */
export interface Lane {
  plant: string
  laboratory: string
  service: string | null
}

/**
 * How long parts of the work take, from whoever estimates it; each null where it is not known. All are whole numbers
 * of the laboratory's open days after the day (the plant's, for transit) on which the part began.
 */
export interface Pace {
  /** From dispatch to receipt: half take no longer. */
  transitHalf(lane: Lane): number | null
  /** From dispatch to receipt: nine of ten take no longer. */
  transitNinety(lane: Lane): number | null
  /** From dispatch to receipt: 95 of a hundred take no longer. */
  transitNinetyFive(lane: Lane): number | null
  /** From receipt to the chamber, where no duty says: 95 of a hundred take no longer. */
  loadNinetyFive(laboratory: string): number | null
  /** From the chamber to the report, where no duty says: 95 of a hundred take no longer. */
  reportNinetyFive(laboratory: string): number | null
}
