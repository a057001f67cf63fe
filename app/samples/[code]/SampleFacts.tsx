import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { SampleLink } from '@/app/ui/SampleLink'
import { dayWords } from '@/app/ui/words/instantWords'
import { firstInstantOf, parseDay } from '@/lib/hold/zone'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './SampleFacts.module.css'

const PURPOSES: Record<string, string> = {
  first: 'A first sample',
  duplicate: 'A duplicate',
  retained: 'A retained sample',
  're-collection': 'A re-collection',
}

/** What the sample is, whose, where it goes, how it travels, and what it replaces. */
export function SampleFacts({ dossier }: { dossier: SampleDossier }) {
  const { asOf, sample, plant, laboratory, productName, protocolName, replaces, replacedBy } = dossier
  const { kit, product, protocol, lot } = sample
  return (
    <div className={styles.facts}>
      <p>
        {PURPOSES[kit.purpose] ?? `A sample (${kit.purpose})`} of{' '}
        {product === null ? 'a product not yet known' : `${productName ?? 'an unknown product'} (${product})`}
        {lot && `, lot ${lot}`}, cut at{' '}
        <Link href={`/plants/${encodeURIComponent(plant.code)}`}>{plant.name}</Link> for {laboratory.name}.
        Its kit was issued <Day at={kit.issuedAt} zone={plant.zone} now={asOf} />
        {postedWords(kit.posted, plant.zone, asOf)}.{' '}
        {protocol === null ? 'No protocol is known for it yet.' : `Protocol: ${protocolName ?? protocol}.`}
        <Consignments dossier={dossier} />
      </p>
      {replaces && (
        <p>
          It replaces <SampleLink code={replaces} />.
        </p>
      )}
      {replacedBy && (
        <p>
          It is replaced by <SampleLink code={replacedBy} />.
        </p>
      )}
    </div>
  )
}

/** Whether and when its kit was posted, where that was not with its issue. */
function postedWords(posted: string | null, zone: string, now: number): string {
  if (posted === null) return ''
  if (posted === 'not yet') return ' and has not been posted yet'
  const at = firstInstantOf(parseDay(posted) as number, zone)
  return at > now ? ` and is to be posted ${dayWords(at, zone, now)}` : `, posted ${dayWords(at, zone, now)}`
}

function Consignments({ dossier: { sample, row } }: { dossier: SampleDossier }) {
  const travelled = (sample.history.milestones.get('dispatched')?.events ?? []).flatMap(
    ({ service, waybill }) =>
      service !== null && waybill !== null ? [`${service}, waybill ${waybill}`] : [],
  )
  const known = [...new Set(travelled)]
  if (known.length > 0)
    return (
      <>
        {' '}
        It {row.isSettled ? 'travelled' : 'travels'} by {known.join('; by ')}.
      </>
    )
  return sample.kit.service && !row.isSettled ? <> It is to travel by {sample.kit.service}.</> : null
}
