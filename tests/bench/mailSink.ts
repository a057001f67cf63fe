import type { AddressInfo } from 'node:net'
import { SMTPServer } from 'smtp-server'

/**
 * A mail server in a process of its own that accepts everything and stores nothing. It sends its port to its parent,
 * and ends with it.
 */
const server = new SMTPServer({
  authOptional: true,
  disabledCommands: ['STARTTLS'],
  onData(stream, _session, done) {
    stream.on('data', () => {})
    stream.on('end', () => done())
  },
})
server.on('error', () => {})
server.listen(0, '127.0.0.1', () => process.send?.({ port: (server.server.address() as AddressInfo).port }))
process.on('disconnect', () => process.exit(0))
