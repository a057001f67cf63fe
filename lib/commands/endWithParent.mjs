// Loaded before Next's build, which is started as a child with a channel to us: ends it when the launcher dies, however it dies.
// Next's own workers are given the same option and are left alone: their channel leads to the build, not to us.
if (process.channel && /[\\/]next$/.test(process.argv[1] ?? '')) {
  process.on('disconnect', () => process.exit(1))
  process.channel.unref()
}
