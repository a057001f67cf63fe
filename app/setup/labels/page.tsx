import bwip from 'bwip-js/generic'
import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { KitContent, RegisterDocument } from '@/lib/custody/registerDocument'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { PURPOSE_LABELS } from '../purposeLabels'
import { SetupBreadcrumbs } from '../SetupBreadcrumbs'
import styles from './KitLabel.module.css'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.labels.title') }
}

interface Props {
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function LabelsPage({ searchParams }: Props) {
  const t = await getTranslate()
  await requireUser('page /setup/labels')
  const { codes } = await searchParams
  const wanted = new Set(
    String(codes ?? '')
      .split(/[.,]/)
      .map(toCanonical),
  )
  const register = await readRegisterDocument(getAppPool())
  const kits = register.kits.filter(({ code }) => wanted.has(code))
  return (
    <>
      <div className={styles.around}>
        <SetupBreadcrumbs list="kits" />
        <h1>{t('setup.labels.title')}</h1>
        <p className="prose">{t(kits.length === 0 ? 'setup.labels.none' : 'setup.labels.print')}</p>
      </div>
      <div className={styles.sheet}>
        {kits.map((kit) => (
          <KitLabel key={kit.code} kit={kit} register={register} />
        ))}
      </div>
    </>
  )
}

function KitLabel({ kit, register }: { kit: KitContent; register: RegisterDocument }) {
  const t = useTranslate()
  const findName = (entries: readonly { code: string; name: string }[], code: string) =>
    entries.find((one) => one.code === code)?.name ?? code
  const plant = { plant: findName(register.plants, kit.plant), plantCode: kit.plant }
  const laboratory = { laboratory: findName(register.laboratories, kit.laboratory), code: kit.laboratory }
  const purpose = kit.purpose && kit.purpose !== 'first' ? t(PURPOSE_LABELS[kit.purpose]) : null
  const product = kit.product && {
    ...plant,
    product: findName(register.products, kit.product),
    productCode: kit.product,
  }
  return (
    <article className={styles.label}>
      <div className={styles.head}>
        <p className={styles.code}>{formatKitCode(kit.code)}</p>
        <BarCode code={kit.code} />
      </div>
      <p>
        {product
          ? purpose === null
            ? t('setup.labels.product', product)
            : t('setup.labels.productPurpose', { ...product, purpose })
          : purpose === null
            ? t('setup.labels.spare', plant)
            : t('setup.labels.sparePurpose', { ...plant, purpose })}
      </p>
      <p>
        {kit.service
          ? t('setup.labels.toBy', { ...laboratory, service: findName(register.services, kit.service) })
          : t('setup.labels.to', laboratory)}
      </p>
      <p className={styles.care}>{t('setup.labels.care')}</p>
    </article>
  )
}

/** The clear space on each side that ISO/IEC 15417 requires, in widths of the narrowest bar. */
const QUIET_ZONE = 10

/** A kit code as Code 128 (ISO/IEC 15417), which common scanners read. */
function BarCode({ code }: { code: string }) {
  const t = useTranslate()
  const { bars, width } = computeBars(code)
  return (
    <svg
      className={styles.bars}
      viewBox={`0 0 ${width} 1`}
      preserveAspectRatio="none"
      role="img"
      aria-label={t('setup.labels.barcode')}
    >
      <path d={bars.map(({ from, wide }) => `M${from} 0h${wide}v1h${-wide}z`).join('')} />
    </svg>
  )
}

/** The dark bars from left to right, and the width with both quiet zones, in widths of the narrowest bar. */
function computeBars(code: string): { bars: { from: number; wide: number }[]; width: number } {
  // The package also exports a symbology named `raw`.
  const [symbol] = bwip.raw({ bcid: 'code128', text: code })
  if (!symbol || !('sbs' in symbol)) throw new Error(`No barcode for ${code}`)
  const bars: { from: number; wide: number }[] = []
  let from = QUIET_ZONE
  // Widths of bars and spaces alternate.
  for (const [n, wide] of symbol.sbs.entries()) {
    if (n % 2 === 0) bars.push({ from, wide })
    from += wide
  }
  return { bars, width: from + QUIET_ZONE }
}
