import pg from 'pg'
import { z } from 'zod'
import { statement } from '../scope/statement'

const USER = statement(
  z.object({ name: z.string(), isSuper: z.boolean(), exists: z.boolean(), isMember: z.boolean() }),
  `select current_user as name, rolsuper as "isSuper",
     exists (select from pg_roles where rolname = $1) as exists,
     coalesce((select pg_has_role(oid, 'MEMBER') from pg_roles where rolname = $1), false) as "isMember"
   from pg_roles where rolname = current_user`,
)

/**
 * Creates a role of the program unless the server has it, and lets the migrating user assume it. Roles belong to the
 * whole server, so the migrations of other databases may do the same concurrently; each step then finds it done.
 * @returns whether the role was created now.
 * @throws Error that tells an administrator what to run, if the user lacks the right.
 */
export async function ensureRole(client: pg.ClientBase, role: string): Promise<boolean> {
  const before = await USER.one(client, [role])
  const name = pg.escapeIdentifier(before.name)
  const create = `CREATE ROLE ${role} NOLOGIN`
  const grant = `GRANT ${role} TO ${name}`
  const needsGrant = async () => {
    const now = await USER.one(client, [role])
    return !now.isSuper && !(await canAssumeRole(client, role, now.isMember))
  }
  const isMissing = !before.exists
  if (isMissing) await runRoleStatement(client, role, create, `${create}; ${grant};`, before.name)
  if (await needsGrant()) await runRoleStatement(client, role, grant, `${grant};`, before.name)
  return isMissing
}

/** From PostgreSQL 16 on, a membership may lack the right to assume the role. */
async function canAssumeRole(client: pg.ClientBase, role: string, isMember: boolean): Promise<boolean> {
  if (!isMember) return false
  await client.query('begin')
  try {
    await client.query(`set local role ${role}`)
    return true
  } catch {
    return false
  } finally {
    await client.query('rollback')
  }
}

/** Runs a statement whose names cannot be bound, and which PostgreSQL therefore cannot prepare. */
async function runRoleStatement(
  client: pg.ClientBase,
  role: string,
  sql: string,
  advice: string,
  name: string,
) {
  for (let attempt = 1; ; attempt++) {
    try {
      await client.query(sql)
      return
    } catch (error) {
      const { code, message } = error as pg.DatabaseError
      // Created concurrently; or two sessions changed one catalogue row and ours was rejected.
      if (code === '42710' || code === '23505') return
      if (code === 'XX000' && message.includes('concurrently') && attempt < 5) continue
      if (code !== '42501') throw error
      throw new Error(
        `The program works as the role ${role}, which the user ${name} may not set up. Ask the server’s administrator to run: ${advice}`,
      )
    }
  }
}
