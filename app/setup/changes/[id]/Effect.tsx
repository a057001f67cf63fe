import { useTranslate } from '#translate'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { formatInstant } from '@/app/ui/words/instant'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { Standing } from '@/lib/hold/standing'
import type { Translate } from '@/lib/messages/translate'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import type { ChangeEffect } from '@/lib/store/register/changeRegister'
import type { SampleChange } from '@/lib/store/register/sampleStates'
import styles from '../../Form.module.css'
import { ENTRY_FORMS } from '../../forms/entryForms'

const MAX_ROWS_SHOWN = 200

/** What a change does to the register and to samples. `now` in ms UTC. */
export function Effect({
  effect,
  register,
  now,
}: {
  effect: ChangeEffect
  register: RegisterDocument
  now: number
}) {
  const t = useTranslate()
  const { changes, sampleChanges } = effect
  const zones = new Map([...register.plants, ...register.laboratories].map(({ code, zone }) => [code, zone]))
  return (
    <>
      <section className={table.scroll} aria-label={t('setup.changes.entries')}>
        <table className={table.table}>
          <caption>
            {changes.length === 0
              ? t('setup.changes.noEntries')
              : t('setup.changes.entryCount', { count: changes.length })}
          </caption>
          <tbody>
            {changes.slice(0, MAX_ROWS_SHOWN).map(({ kind, code, before, content }) => (
              <tr key={`${kind} ${code}`}>
                <th scope="row">{formatEntry(t, kind, code)}</th>
                <td>{t(getAction(before, content))}</td>
                <td>
                  {content !== null &&
                    listDifferences(t, before, content).map((line) => <div key={line}>{line}</div>)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <section className={`${table.scroll} ${styles.apart}`} aria-label={t('setup.changes.samples')}>
        <table className={table.table}>
          <caption>
            {sampleChanges.length === 0
              ? t('setup.changes.noSamples')
              : t('setup.changes.sampleCount', { count: sampleChanges.length })}
          </caption>
          <tbody>
            {sampleChanges.slice(0, MAX_ROWS_SHOWN).map((change) => (
              <tr key={change.code}>
                <th scope="row">
                  <SampleLink code={change.code} />
                </th>
                <td>
                  {change.dues.map((due) => (
                    <div key={due.limit}>
                      {formatDueChange(
                        t,
                        due,
                        zones.get(due.zoneOwner === 'plant' ? change.plant : change.laboratory) ?? 'UTC',
                        now,
                      )}
                    </div>
                  ))}
                </td>
                <td>{formatStandingChange(t, change)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {sampleChanges.length > 0 && <p>{t('setup.changes.standings')}</p>}
      {Math.max(changes.length, sampleChanges.length) > MAX_ROWS_SHOWN && (
        <p>{t('setup.changes.shown', { count: MAX_ROWS_SHOWN })}</p>
      )}
    </>
  )
}

function formatEntry(t: Translate, kind: string, code: string): string {
  const form = Object.values(ENTRY_FORMS).find((one) => one.kind === kind)
  return form ? t(form.entryTitle, { code: kind === 'kit' ? formatKitCode(code) : code }) : code
}

function getAction(before: EntryContent | null, after: EntryContent | null) {
  if (before === null) return 'setup.changes.added'
  return after === null ? 'setup.changes.deleted' : 'setup.changes.changed'
}

type Due = SampleChange['dues'][number]

/** "cut to dock: due Mon 9 Nov 23:59 New York → Tue 10 Nov 23:59 New York". */
function formatDueChange(t: Translate, { limit, beforeAt, afterAt }: Due, zone: string, now: number): string {
  const before = beforeAt === null ? '' : formatInstant(t, beforeAt, zone, now)
  if (afterAt === null) return t('setup.changes.dueDropped', { limit, before })
  const after = formatInstant(t, afterAt, zone, now)
  return beforeAt === null
    ? t('setup.changes.dueAdded', { limit, after })
    : t('setup.changes.due', { limit, before, after })
}

const STANDING_LABELS = {
  sound: 'standing.name.sound',
  tight: 'standing.name.tight',
  'at risk': 'standing.name.atRisk',
  lapsed: 'standing.name.lapsed',
  kept: 'standing.name.kept',
  ended: 'standing.name.ended',
  unproven: 'standing.name.unproven',
} as const satisfies Record<Standing, string>

/** "sound → tight", or that it stays. */
function formatStandingChange(
  t: Translate,
  { before, after }: Pick<SampleChange, 'before' | 'after'>,
): string {
  const label = t(STANDING_LABELS[after])
  if (before === after) return t('setup.changes.sameStanding', { standing: label })
  return `${t(STANDING_LABELS[before])} → ${label}`
}

/** One line for each member that differs; all members of a new entry. */
function listDifferences(t: Translate, before: EntryContent | null, after: EntryContent): string[] {
  const fields = [...new Set([...Object.keys(before ?? {}), ...Object.keys(after)])]
  return fields.flatMap((field) => {
    const [old, fresh] = [formatValue(before?.[field]), formatValue(after[field])]
    if (old === fresh) return []
    if (old === '') return [`${field}: ${fresh}`]
    if (fresh === '') return [t('setup.changes.fieldCleared', { field, before: old })]
    return [`${field}: ${old} → ${fresh}`]
  })
}

/** A value of the register as short text. */
function formatValue(value: unknown): string {
  if (value === undefined || value === null) return ''
  if (Array.isArray(value)) return value.map(formatValue).join('; ')
  if (typeof value !== 'object') return String(value)
  return Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .map(([name, member]) => `${name} ${formatValue(member)}`)
    .sort()
    .join(', ')
}
