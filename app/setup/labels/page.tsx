import bwip from 'bwip-js/generic'
import type { Metadata } from 'next'
import { requireUser } from '@/lib/access/guard'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { KitContent, RegisterDocument } from '@/lib/custody/registerDocument'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import styles from './KitLabel.module.css'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Kit labels' }

interface Props {
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function LabelsPage({ searchParams }: Props) {
  await requireUser('page /setup/labels')
  const { codes } = await searchParams
  const asked = new Set(
    String(codes ?? '')
      .split(/[.,]/)
      .map(toCanonical),
  )
  const register = await readRegisterDocument(getAppPool())
  const kits = register.kits.filter(({ code }) => asked.has(code))
  return (
    <>
      <div className={styles.around}>
        <SetupBreadcrumbs list="kits" />
        <h1>Labels</h1>
        <p className="prose">
          {kits.length === 0
            ? 'No kit of these codes is in the register; open this page from the list of kits.'
            : 'Print this page: it fits A4 and Letter alike, ten labels to a sheet. The bars are the code as Code 128, for the scanner at the laboratory’s desk.'}
        </p>
      </div>
      <div className={styles.sheet}>
        {kits.map((kit) => (
          <KitLabel key={kit.code} kit={kit} register={register} />
        ))}
      </div>
    </>
  )
}

/** The label of one kit: its code, what it is for, where it goes, and what to take care of. */
function KitLabel({ kit, register }: { kit: KitContent; register: RegisterDocument }) {
  const named = (entries: readonly { code: string; name: string }[], code: string | undefined) =>
    entries.find((one) => one.code === code)?.name ?? code
  return (
    <article className={styles.label}>
      <div className={styles.head}>
        <p className={styles.code}>{formatKitCode(kit.code)}</p>
        <BarCode code={kit.code} />
      </div>
      <p>
        {named(register.plants, kit.plant)} ({kit.plant}):{' '}
        {kit.product
          ? `${named(register.products, kit.product)} (${kit.product})`
          : 'spare, product ________'}
        {kit.purpose && kit.purpose !== 'first' && `; ${kit.purpose}`}
      </p>
      <p>
        To {named(register.laboratories, kit.laboratory)} ({kit.laboratory})
        {kit.service && `, by ${named(register.services, kit.service)}`}
      </p>
      <p className={styles.care}>
        Cut, seal, hand over; note each time. Sharp blade, moving line, heavy rolls; gloves may be natural
        latex. The site’s own safety rules come first.
      </p>
    </article>
  )
}

/** Clear on both sides of the bars, in widths of the narrowest, as ISO/IEC 15417 asks. */
const QUIET_ZONE = 10

/** A kit code as Code 128 (ISO/IEC 15417), which the usual scanners read and type. */
function BarCode({ code }: { code: string }) {
  const { bars, width } = computeBars(code)
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
function computeBars(code: string): { bars: { from: number; wide: number }[]; width: number } {
  // By its own name the package exports another `raw`, the symbology of that name.
  const [symbol] = bwip.raw({ bcid: 'code128', text: code })
  if (!symbol || !('sbs' in symbol)) throw new Error(`No bar code was made of ${code}.`)
  const bars: { from: number; wide: number }[] = []
  let from = QUIET_ZONE
  // The widths of bars and spaces in turn.
  for (const [n, wide] of symbol.sbs.entries()) {
    if (n % 2 === 0) bars.push({ from, wide })
    from += wide
  }
  return { bars, width: from + QUIET_ZONE }
}
