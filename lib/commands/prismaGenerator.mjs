// Prisma's own generator of clients, without its command line. A child of what needs the client: loaded there it would hold 120 MB.
import { createRequire } from 'node:module'

// Not imported: the generator's ES module asks @prisma/internals for names that Node does not find in it.
const load = createRequire(import.meta.url)
const { getGenerators, loadSchemaContext } = load('@prisma/internals')
const { PrismaClientTsGenerator } = load('@prisma/client-generator-ts')

try {
  const generators = await getGenerators({
    schemaContext: await loadSchemaContext({
      schemaPath: { cliProvidedPath: process.argv[2] },
      printLoadMessage: false,
    }),
    registry: { 'prisma-client': { type: 'in-process', generator: new PrismaClientTsGenerator() } },
    skipDownload: true,
    cliCommand: 'generate',
  })
  for (const generator of generators) await generator.generate()
} catch (error) {
  console.error(error.message)
  process.exitCode = 1
}
