import { useTranslate } from '#translate'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { hasRole, ROLE_NAMES, ROLES, type RoleName, type Roles } from '@/lib/policy/personRoles'
import styles from '../Form.module.css'
import { FormProblems, type FormState, TextField, ZoneField } from '../fields'
import { getRoleField } from '../forms/personForm'

/** `id` is null for a new person. `now` in ms UTC. */
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
  /** The id of the draft that keeps the refused form, if there is one. */
  draft: string | undefined
  register: RegisterDocument
  now: number
}) {
  const t = useTranslate()
  return (
    <form method="post" action="/api/setup/people" className={styles.form}>
      {id !== null && <input type="hidden" name="id" value={id} />}
      {draft !== undefined && <input type="hidden" name="draft" value={draft} />}
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <TextField form={form} name="email" label={t('setup.people.email')} type="email" isRequired />
      <TextField form={form} name="name" label={t('setup.people.name')} isRequired />
      <ZoneField form={form} now={now} hint={t('setup.people.zoneHint')} />
      <fieldset className={styles.set}>
        <legend className={styles.legend}>{t('setup.people.roles')}</legend>
        <div className={styles.checks}>
          {ROLE_NAMES.map((role) => (
            <RoleChecks key={role} role={role} roles={roles} register={register} />
          ))}
          {id !== null && (
            <Checkbox name="left" value="yes" label={t('setup.people.hasLeft')} isChecked={hasLeft} />
          )}
        </div>
      </fieldset>
      <div className={styles.acts}>
        <button type="submit">{t(id === null ? 'setup.people.addButton' : 'setup.form.save')}</button>
      </div>
    </form>
  )
}

/** One checkbox for a role without a place, else one for each place. */
function RoleChecks({ role, roles, register }: { role: RoleName; roles: Roles; register: RegisterDocument }) {
  const t = useTranslate()
  const name = getRoleField(role)
  if (role === 'administrator' || role === 'reader')
    return (
      <Checkbox
        name={name}
        value="yes"
        label={t(role === 'administrator' ? 'setup.people.administrator' : 'setup.people.reader')}
        isChecked={hasRole(roles, role)}
      />
    )
  const [places, label] =
    role === 'plant contact'
      ? [register.plants, 'setup.people.plantContact' as const]
      : [register.laboratories, 'setup.people.laboratoryDesk' as const]
  return places.map((place) => (
    <Checkbox
      key={place.code}
      name={name}
      value={place.code}
      label={t(label, { name: place.name, code: place.code })}
      isChecked={ROLES[role].getPlaces(roles).includes(place.code)}
    />
  ))
}

function Checkbox({
  name,
  value,
  label,
  isChecked,
}: {
  name: string
  value: string
  label: string
  isChecked: boolean
}) {
  return (
    <label>
      <input type="checkbox" name={name} value={value} defaultChecked={isChecked} />
      <span>{label}</span>
    </label>
  )
}
