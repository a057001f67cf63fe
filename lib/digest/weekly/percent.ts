/** A chance (0 to 1) in hundredths; none is ever certain. */
export function percent(chance: number): string {
  return chance >= 0.995 ? 'more than 99 %' : `${Math.round(chance * 100)} %`
}
