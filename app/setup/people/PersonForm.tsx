import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { hasRole, PLACE_LISTS, ROLE_NAMES, ROLES, type RoleName, type Roles } from '@/lib/policy/personRoles'
import styles from '../Form.module.css'
import { FormProblems, type FormState, TextField, ZoneField } from '../fields'
import { getRoleField } from '../forms/personForm'

/** A person and what they are in the programme. `id` is null for a new one. `now` in ms UTC. */
export function PersonForm({
  id,
  form,
  roles,
  hasLeft,
  draft,
  register,
  now,
}: {
  id: string | null
  form: FormState
  roles: Roles
  hasLeft: boolean
  /** Of the form as it was refused before, if it was. */
  draft: string | undefined
  register: RegisterDocument
  now: number
}) {
  return (
    <form method="post" action="/api/setup/people" className={styles.form}>
      {id !== null && <input type="hidden" name="id" value={id} />}
      {draft !== undefined && <input type="hidden" name="draft" value={draft} />}
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <TextField form={form} name="email" label="E-mail" type="email" isRequired />
      <TextField form={form} name="name" label="Name" isRequired />
      <ZoneField form={form} now={now} hint="In which the person reads times." />
      <fieldset className={styles.set}>
        <legend className={styles.legend}>What the person is; several at once if so</legend>
        <div className={styles.checks}>
          {ROLE_NAMES.map((role) => (
            <RoleChecks key={role} role={role} roles={roles} register={register} />
          ))}
          {id !== null && (
            <Checkbox name="left" value="yes" words="has left: may sign in no more" isOn={hasLeft} />
          )}
        </div>
      </fieldset>
      <div className={styles.acts}>
        <button type="submit">{id === null ? 'Add' : 'Change'}</button>
      </div>
    </form>
  )
}

/** A role as it can be given: once, or once for each place of which it can be. */
function RoleChecks({ role, roles, register }: { role: RoleName; roles: Roles; register: RegisterDocument }) {
  const { placeKind: of, label: called, hint, getPlaces: held } = ROLES[role]
  const field = getRoleField(role)
  if (of === null)
    return <Checkbox name={field} value="yes" words={`${called}: ${hint}`} isOn={hasRole(roles, role)} />
  return register[PLACE_LISTS[of]].map(({ code, name }) => (
    <Checkbox
      key={code}
      name={field}
      value={code}
      words={`${called} ${name} (${code})`}
      isOn={held(roles).includes(code)}
    />
  ))
}

function Checkbox({
  name,
  value,
  words,
  isOn,
}: {
  name: string
  value: string
  words: string
  isOn: boolean
}) {
  return (
    <label>
      <input type="checkbox" name={name} value={value} defaultChecked={isOn} />
      <span>{words}</span>
    </label>
  )
}
