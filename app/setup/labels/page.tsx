import type { Metadata } from 'next'
import { pageVisitor } from '@/lib/access/guard'
import { canonical } from '@/lib/custody/kitCode'
import { registerNow } from '@/lib/store/ledger/registerNow'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { SetupPath } from '../SetupPath'
import { KitLabel } from './KitLabel'
import styles from './KitLabel.module.css'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Kit labels' }

interface Props {
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function LabelsPage({ searchParams }: Props) {
  await pageVisitor('page /setup/labels')
  const { codes } = await searchParams
  const asked = new Set(
    String(codes ?? '')
      .split(/[.,]/)
      .map(canonical),
  )
  const register = await registerNow(sharedPool())
  const kits = register.kits.filter(({ code }) => asked.has(code))
  return (
    <>
      <div className={styles.around}>
        <SetupPath list="kits" />
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
