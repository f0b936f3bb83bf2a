// One of several instances: the built program as it serves, by a clock that began at another instant. It
// loads the program, says so, and waits for its turn.
const from = (name) => import(new URL(name, `file://${process.argv[2]}/dist/`).href);
const { buildApp } = await from('app.js');
const { readSettings } = await from('config.js');

process.once('disconnect', () => process.exit(1));
process.once('message', ({ clockAt }) => void serve(clockAt));
process.send('loaded');

async function serve(clockAt) {
  const begun = Date.now();
  const now = () => new Date(Date.parse(clockAt) + Date.now() - begun).toISOString();
  const app = await buildApp(readSettings(process.env), { now });
  const address = await app.listen();
  app.startClock();
  process.send(address);
  process.once('SIGTERM', () => void app.close().then(() => process.exit(0)));
}
