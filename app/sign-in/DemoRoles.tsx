import styles from './DemoRoles.module.css'

/** One press for each of the demo's people. */
export function DemoRoles({ roles, to }: { roles: readonly string[]; to: string | null }) {
  return (
    <form method="post" action="/api/sign-in/role" className={styles.roles}>
      {to && <input type="hidden" name="to" value={to} />}
      <h2>Look around the demo</h2>
      <p>Everything in it is invented. Come in as</p>
      {roles.map((role) => (
        <button key={role} type="submit" name="role" value={role}>
          {role}
        </button>
      ))}
    </form>
  )
}
