/** They show nothing themselves and reorder what stands beside them (Unicode Standard Annex #9). */
const BIDI_CONTROLS = /\p{Bidi_Control}/gu

/** A text as it is shown: with bidirectional control characters named, like ⟨U+202E⟩. Letters of any direction stay. */
export function nameBidiControls(text: string): string {
  // Nearly every text is returned as it is.
  return text.search(BIDI_CONTROLS) < 0 ? text : text.replace(BIDI_CONTROLS, nameControl)
}

function nameControl(control: string): string {
  return `⟨U+${control.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}⟩`
}
