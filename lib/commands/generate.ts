import { generatePrismaClient } from './prismaClient'
import { runCommand } from './runCommand'
import { log } from './steps'

/** `npm run generate`: regenerates Prisma's client from prisma/schema.prisma. */
runCommand(async () => {
  await generatePrismaClient()
  log('✓', 'Client', 'Generated into lib/store/prisma.')
})
