// Preloaded into Next's build, which runs as a child with an IPC channel to us: ends it if the launcher dies. Next's
// own workers inherit the option but keep running: their channel leads to the build, not to us.
if (process.channel && /[\\/]next$/.test(process.argv[1] ?? '')) {
  process.on('disconnect', () => process.exit(1))
  process.channel.unref()
}
