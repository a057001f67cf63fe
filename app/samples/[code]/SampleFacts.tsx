import { useTranslate } from '#translate'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { UNSEEN_KIT } from '@/lib/custody/kitCode'
import { getDayStart, parseIsoDate } from '@/lib/hold/zone'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './SampleReport.module.css'

/** The sample's purpose, product, plant, laboratory and consignment, and the sample it replaces. */
export function SampleFacts({ dossier }: { dossier: SampleDossier }) {
  const t = useTranslate()
  const { sample, plant, laboratory, productName, protocolName, replaces, replacedBy } = dossier
  const { kit, product, protocol, lot } = sample
  return (
    <div className={styles.facts}>
      <p>
        {rich(t, 'samples.facts.sample', {
          purpose: kit.purpose.replace(/\W/g, ''),
          product: product === null ? 'unknown' : productName === null ? 'unnamed' : 'named',
          name: productName ?? '',
          code: product ?? '',
          hasLot: lot ? 'yes' : 'no',
          lot: lot ?? '',
          plant: (text) => <Link href={`/plants/${encodeURIComponent(plant.code)}`}>{text}</Link>,
          plantName: plant.name,
          laboratory: laboratory.name,
        })}{' '}
        <Issued dossier={dossier} />{' '}
        {protocol === null
          ? t('samples.facts.noProtocol')
          : t('samples.facts.protocol', { protocol: protocolName ?? protocol })}{' '}
        <Travel dossier={dossier} />
      </p>
      {replaces !== null && (
        <p>
          {replaces === UNSEEN_KIT
            ? t('samples.facts.replacesUnseen')
            : rich(t, 'samples.facts.replaces', { sample: <SampleLink code={replaces} /> })}
        </p>
      )}
      {replacedBy !== null && (
        <p>
          {replacedBy === UNSEEN_KIT
            ? t('samples.facts.replacedByUnseen')
            : rich(t, 'samples.facts.replacedBy', { sample: <SampleLink code={replacedBy} /> })}
        </p>
      )}
    </div>
  )
}

/** When the kit was issued, and when it was posted where that was another day. */
function Issued({ dossier: { sample, plant, asOf } }: { dossier: SampleDossier }) {
  const t = useTranslate()
  const { posted, issuedAt } = sample.kit
  const postedAt =
    posted === null || posted === 'not yet' ? null : getDayStart(parseIsoDate(posted) as number, plant.zone)
  return rich(t, 'samples.facts.issued', {
    day: <Day at={issuedAt} zone={plant.zone} now={asOf} />,
    posted:
      posted === 'not yet' ? 'notYet' : postedAt === null ? 'withIssue' : postedAt > asOf ? 'later' : 'done',
    postedDay: postedAt && <Day at={postedAt} zone={plant.zone} now={asOf} />,
  })
}

/** The consignments of the sample, or the service by which it is to travel. */
function Travel({ dossier: { sample, row } }: { dossier: SampleDossier }) {
  const t = useTranslate()
  const consignments = (sample.history.milestones.get('dispatched')?.events ?? []).flatMap(
    ({ service, waybill }) =>
      service !== null && waybill !== null ? [t('samples.event.consignment', { service, waybill })] : [],
  )
  if (consignments.length > 0)
    return t(
      row.isSettled || sample.history.milestones.has('received')
        ? 'samples.facts.travelled'
        : 'samples.facts.travels',
      {
        consignments: t.list([...new Set(consignments)]),
      },
    )
  const { service } = sample.kit
  return service && !row.isSettled ? t('samples.facts.toTravel', { service }) : null
}
