import { ensurePrismaClient } from './prismaClient'

/**
 * Loaded by node's --import before a command of ours: makes Prisma's client if a fresh checkout has none yet, before
 * anything that imports it is looked for.
 */
await ensurePrismaClient()
