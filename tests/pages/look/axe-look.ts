import { AxeBuilder } from '@axe-core/playwright';
import type { DemoPages } from './demo-pages.ts';
import { PRESS } from './demo-pages.ts';
import type { Name } from './page-names.ts';

// What is folded up is looked at too; one operation and one shape of the reference stand for all,
// since they come from one template, and the letter in its frame is looked at with the letters.
const TO_LOOK_AT = `document.querySelectorAll('iframe').forEach((one) => one.remove());
  document.querySelectorAll('.operation').forEach((one, i) => i < 2 || one.remove());
  document.querySelectorAll('section[id^=shape]').forEach((one, i) => i < 2 || one.remove());
  document.querySelectorAll('details').forEach((one) => { one.open = true; });`;

/** One way of looking at a page. */
export interface Look {
  readonly colorScheme: 'light' | 'dark';
  /** Of the window, in CSS pixels. */
  readonly width: number;
  /** The rules of axe-core that can come out otherwise than in a look before; all where it is left out. */
  readonly rules?: readonly string[];
}

/** What axe-core finds on a page with all of it unfolded, look by look; that no colour was judged is a find too. */
export async function findsOn(
  demo: DemoPages,
  name: Name,
  looks: readonly Look[],
): Promise<unknown[]> {
  const finds: unknown[] = [];
  const [first] = looks;
  const context = await demo.contextFor('light', first?.width ?? 320, name);
  const page = await context.newPage();
  await page.goto(demo.base + (demo.pages[name] ?? ''));
  await PRESS[name]?.(page);
  await page.evaluate(TO_LOOK_AT);
  for (const { colorScheme, width, rules } of looks) {
    await page.emulateMedia({ colorScheme });
    await page.setViewportSize({ width, height: 900 });
    const builder = new AxeBuilder({ page }).setLegacyMode(true);
    if (rules === undefined) builder.options({ rules: { 'target-size': { enabled: true } } });
    else builder.withRules([...rules]);
    const { violations, passes } = await builder.analyze();
    if (passes.every(({ id }) => id !== 'color-contrast'))
      finds.push([colorScheme, width, 'no colours']);
    for (const { id, nodes } of violations) {
      finds.push([colorScheme, width, id, nodes[0]?.html, nodes[0]?.failureSummary]);
    }
  }
  await context.close();
  return finds;
}
