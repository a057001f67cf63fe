/** So many overdue things, lines of tests and acts to come are shown at once, unless all are asked for. Chosen, no source. */
export const MOST_OVERDUE = 150
export const MOST_TESTS = 60
export const MOST_ACTS = 150

/** The first of some lines, at most `most`, and wherever it stands the one for which `isKept` holds. */
export function firstOf<Line>(
  lines: readonly Line[],
  most: number,
  isKept: (line: Line) => boolean = () => false,
): readonly Line[] {
  return lines.length <= most ? lines : lines.filter((line, index) => index < most || isKept(line))
}
