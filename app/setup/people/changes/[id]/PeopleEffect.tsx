import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { spellCount } from '@/app/ui/words/number'
import type { PeoplePlan, PlannedPerson } from '@/lib/access/people/planPeople'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { KnownPerson } from '@/lib/store/people/people'
import styles from '../../../Form.module.css'
import { describeRoles } from '../../refusedForms'

/** The most rows that a page shows of each kind. */
const MAX_ROWS_SHOWN = 500

/** What a list of people would do: who is added, changed, stays, and which lines are refused and why. */
export function PeopleEffect({ plan }: { plan: PeoplePlan }) {
  const t = useTranslate()
  const { added, changed, unchanged, refused } = plan
  return (
    <>
      {refused.length > 0 && (
        <div className={styles.wrongs}>
          <p>
            {capitalised(spellCount(t, refused.length, 'line'))} refused; whoever they are about stays as they
            are, and the others can be entered without them:
          </p>
          {refused.slice(0, MAX_ROWS_SHOWN).map(({ line, detail }) => (
            <p key={`${line} ${detail}`}>
              line {line}: {detail}
            </p>
          ))}
        </div>
      )}
      <People heading="added" people={added} />
      <People heading="changed" people={changed} />
      <People heading="unchanged" people={unchanged} />
      {Math.max(refused.length, added.length, changed.length, unchanged.length) > MAX_ROWS_SHOWN && (
        <p>Of each list the first {MAX_ROWS_SHOWN} are shown.</p>
      )}
    </>
  )
}

const CAPTIONS = {
  added: ['would be added', 'Nobody would be added.'],
  changed: ['would be changed', 'Nobody would be changed.'],
  unchanged: ['named and the same as now', ''],
} as const

function People({ heading, people }: { heading: keyof typeof CAPTIONS; people: readonly PlannedPerson[] }) {
  const t = useTranslate()
  const [words, none] = CAPTIONS[heading]
  if (people.length === 0) return none === '' ? null : <p>{none}</p>
  return (
    <section className={`${table.scroll} ${styles.apart}`} aria-label={`People ${words}`}>
      <table className={`${table.table} ${table.stack}`}>
        <caption>{`${capitalised(spellCount(t, people.length, 'person', 'people'))} ${words}`}</caption>
        <tbody>
          {people.slice(0, MAX_ROWS_SHOWN).map(({ before, after }) => (
            <tr key={after.email}>
              <th scope="row">{after.email}</th>
              <td>
                {heading === 'unchanged'
                  ? after.name
                  : listPersonDifferences(t, before, after).map((line) => <div key={line}>{line}</div>)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** What a person is otherwise than before, a line each; all of it where they are new. */
function listPersonDifferences(t: Translate, before: KnownPerson | null, after: KnownPerson): string[] {
  const [old, fresh] = [before && describePerson(t, before), describePerson(t, after)]
  return Object.entries(fresh).flatMap(([name, words]) => {
    const was = old?.[name as keyof typeof fresh]
    if (was === undefined) return words === 'may sign in' ? [] : [`${name}: ${words}`]
    return was === words ? [] : [`${name}: ${was} → ${words}`]
  })
}

function describePerson(t: Translate, { name, zone, roles, hasLeft }: KnownPerson) {
  return {
    name,
    zone,
    is: describeRoles(t, roles),
    'sign-in': hasLeft ? 'has left, may sign in no more' : 'may sign in',
  }
}
