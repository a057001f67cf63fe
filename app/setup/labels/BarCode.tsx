import bwip from 'bwip-js/generic'
import styles from './KitLabel.module.css'

/** Clear on both sides of the bars, in widths of the narrowest, as ISO/IEC 15417 asks. */
const QUIET = 10

/** A kit code as Code 128 (ISO/IEC 15417), which the usual scanners read and type. */
export function BarCode({ code }: { code: string }) {
  const { bars, width } = barsOf(code)
  return (
    <svg
      className={styles.bars}
      viewBox={`0 0 ${width} 1`}
      preserveAspectRatio="none"
      role="img"
      aria-label="Bar code of the kit’s code"
    >
      <path d={bars.map(({ from, wide }) => `M${from} 0h${wide}v1h${-wide}z`).join('')} />
    </svg>
  )
}

/** The dark bars from left to right, and the whole with what is clear on both sides, in widths of the narrowest. */
function barsOf(code: string): { bars: { from: number; wide: number }[]; width: number } {
  // By its own name the package exports another `raw`, the symbology of that name.
  const [symbol] = bwip.raw({ bcid: 'code128', text: code })
  if (!symbol || !('sbs' in symbol)) throw new Error(`No bar code was made of ${code}.`)
  const bars: { from: number; wide: number }[] = []
  let from = QUIET
  // The widths of bars and spaces in turn.
  for (const [n, wide] of symbol.sbs.entries()) {
    if (n % 2 === 0) bars.push({ from, wide })
    from += wide
  }
  return { bars, width: from + QUIET }
}
