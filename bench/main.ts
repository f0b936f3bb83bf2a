import { readdirSync } from 'node:fs';
import type { Measured } from './measure.ts';

// npm run bench [NAME …]: every bench, or those named, one JSON line for each ratio.
const NOT_BENCHES = ['mail-sink.ts', 'main.ts', 'measure.ts', 'round-herd.ts', 'shop-herd.ts'];
const asked = process.argv.slice(2);
const names = readdirSync(new URL('.', import.meta.url))
  .filter((file) => file.endsWith('.ts') && !NOT_BENCHES.includes(file))
  .map((file) => file.replace(/\.ts$/, ''))
  .filter((name) => asked.length === 0 || asked.includes(name));

for (const name of names) {
  const bench = (await import(`./${name}.ts`)) as { run?: () => Promise<Measured[]> };
  if (bench.run === undefined) continue;
  for (const { name: what, ratio, goal } of await bench.run()) {
    process.stdout.write(
      `${JSON.stringify({ name: what, ratio: Number(ratio.toFixed(3)), goal })}\n`,
    );
  }
}
