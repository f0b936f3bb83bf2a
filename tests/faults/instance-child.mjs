// One of several instances: the built program as it serves, by a clock that began at another instant.
const [, , root, clockAt] = process.argv;
const from = (name) => import(new URL(name, `file://${root}/dist/`).href);
const { buildApp } = await from('app.js');
const { readSettings } = await from('config.js');

const begun = Date.now();
const now = () => new Date(Date.parse(clockAt) + Date.now() - begun).toISOString();
const app = await buildApp(readSettings(process.env), { now });
const address = await app.listen();
app.startClock();
process.send(address);
process.once('SIGTERM', () => void app.close().then(() => process.exit(0)));
