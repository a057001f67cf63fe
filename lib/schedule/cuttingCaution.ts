/** Beside whatever asks to cut, in mails and calendars; the site's own rules come first. */
export const CUTTING_CAUTION =
  'Before cutting: sharp blades, moving lines and heavy rolls can hurt. Follow the site’s own safety rules; Holdfast does not replace them.'
