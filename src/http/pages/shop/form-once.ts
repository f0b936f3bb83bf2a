import { setTimeout as wait } from 'node:timers/promises';
import type { Context } from '../../../usecases/context/context.ts';
import type { OnceKey } from '../../../usecases/once/idempotent-answers.ts';
import { doOnce } from '../../../usecases/once/idempotent-answers.ts';

/** What came of a form: the page to go to, or one that is shown this once. */
export type Recorded = { readonly to: string } | { readonly page: string };

export type OnceAnswer =
  | { readonly kind: 'recorded'; readonly recorded: Recorded }
  /** The same form was recorded before with something else in it. */
  | { readonly kind: 'other' }
  /** It was recorded, but what was answered is no longer kept. */
  | { readonly kind: 'forgotten' }
  | { readonly kind: 'running' };

// A finger that presses twice: the second sending waits for what the first came to.
const LOOKS = 40;
const LOOK_EVERY_MS = 100;

/**
 * Does the work of a form once, however often the form is sent: a reload, a second press or a step
 * back gets what the first sending came to. What is refused may be sent again.
 */
export async function once(
  context: Context,
  key: OnceKey,
  asked: string,
  work: () => Promise<Recorded>,
): Promise<OnceAnswer> {
  const doIt = () =>
    doOnce(context, key, asked, async () => ({
      status: 200,
      headers: {},
      body: JSON.stringify(await work()),
    }));
  let done = await doIt();
  for (let look = 0; done.kind === 'running' && look < LOOKS; look++) {
    await wait(LOOK_EVERY_MS);
    done = await doIt();
  }
  switch (done.kind) {
    case 'done':
    case 'repeat':
      return { kind: 'recorded', recorded: JSON.parse(done.answer.body) as Recorded };
    case 'other-request':
      return { kind: 'other' };
    case 'forgotten':
    case 'running':
      return { kind: done.kind };
  }
}
