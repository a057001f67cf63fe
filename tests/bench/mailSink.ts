import type { AddressInfo } from 'node:net'
import { SMTPServer } from 'smtp-server'

/** A mail server as a process of its own, which takes everything and keeps nothing; it tells its port, and ends with its parent. */
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
