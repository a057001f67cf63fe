import { generatePrismaClient } from './prismaClient'
import { runCommand } from './runCommand'
import { log } from './steps'

/** `npm run generate`: Prisma's client, made anew from prisma/schema.prisma. */
runCommand(async () => {
  await generatePrismaClient()
  log('✓', 'Client', 'Generated into lib/store/prisma.')
})
