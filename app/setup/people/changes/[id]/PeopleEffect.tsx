import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import type { PeoplePlan, PlannedPerson } from '@/lib/access/people/planPeople'
import type { Translate } from '@/lib/messages/translate'
import type { KnownPerson } from '@/lib/store/people/people'
import styles from '../../../Form.module.css'
import { describeRoles } from '../../describeRoles'

const MAX_ROWS_SHOWN = 500

/** Whom a list of people adds, changes and leaves, and which lines are refused and why. */
export function PeopleEffect({ plan }: { plan: PeoplePlan }) {
  const t = useTranslate()
  const { added, changed, unchanged, refused } = plan
  return (
    <>
      {refused.length > 0 && (
        <div className={styles.wrongs}>
          <p>{t('setup.changes.linesRefused', { count: refused.length })}</p>
          {refused
            .slice(0, MAX_ROWS_SHOWN)
            .map(({ line, detail }) =>
              t('setup.changes.line', {
                line: String(line),
                problem: t.message(detail),
              }),
            )
            .map((text) => (
              <p key={text}>{text}</p>
            ))}
        </div>
      )}
      {added.length === 0 && <p>{t('setup.changes.nobodyAdded')}</p>}
      <People
        caption={t('setup.changes.peopleAdded', { count: added.length })}
        people={added}
        describe={({ after }) => listAttributes(t, after)}
      />
      {changed.length === 0 && <p>{t('setup.changes.nobodyChanged')}</p>}
      <People
        caption={t('setup.changes.peopleChanged', { count: changed.length })}
        people={changed}
        describe={({ before, after }) => listDifferences(t, before ?? after, after)}
      />
      <People
        caption={t('setup.changes.peopleUnchanged', { count: unchanged.length })}
        people={unchanged}
        describe={({ after }) => [after.name]}
      />
      {Math.max(refused.length, added.length, changed.length, unchanged.length) > MAX_ROWS_SHOWN && (
        <p>{t('setup.changes.shown', { count: MAX_ROWS_SHOWN })}</p>
      )}
    </>
  )
}

/** Nothing if there are no people. */
function People({
  caption,
  people,
  describe,
}: {
  caption: string
  people: readonly PlannedPerson[]
  /** The lines beside a person. */
  describe: (person: PlannedPerson) => string[]
}) {
  if (people.length === 0) return null
  return (
    <section className={`${table.scroll} ${styles.apart}`} aria-label={caption}>
      <table className={`${table.table} ${table.stack}`}>
        <caption>{caption}</caption>
        <tbody>
          {people.slice(0, MAX_ROWS_SHOWN).map((person) => (
            <tr key={person.after.email}>
              <th scope="row">{person.after.email}</th>
              <td>
                {describe(person).map((line) => (
                  <div key={line}>{line}</div>
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function listAttributes(t: Translate, { name, zone, roles, hasLeft }: KnownPerson): string[] {
  return [
    t('setup.changes.name', { after: name }),
    t('setup.changes.zone', { after: zone }),
    t('setup.changes.roles', { after: describeRoles(t, roles) }),
    ...(hasLeft ? [t('setup.changes.left')] : []),
  ]
}

function listDifferences(t: Translate, before: KnownPerson, after: KnownPerson): string[] {
  const roles = { before: describeRoles(t, before.roles), after: describeRoles(t, after.roles) }
  return [
    before.name !== after.name && t('setup.changes.nameChanged', { before: before.name, after: after.name }),
    before.zone !== after.zone && t('setup.changes.zoneChanged', { before: before.zone, after: after.zone }),
    roles.before !== roles.after && t('setup.changes.rolesChanged', roles),
    before.hasLeft !== after.hasLeft && t(after.hasLeft ? 'setup.changes.left' : 'setup.changes.back'),
  ].filter((line) => line !== false)
}
