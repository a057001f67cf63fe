import { ensurePrismaClient } from './prismaClient'

/**
 * Preloaded (`--import`) into each command: generates Prisma's client in a fresh checkout before anything imports it.
 */
await ensurePrismaClient()
