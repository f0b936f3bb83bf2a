/**
 * Lets whatever else waits have its turn. A database that answers at once never gives up the thread
 * by itself, so work that goes through an organisation's cars asks this between its portions.
 */
export function othersFirst(): Promise<void> {
  return new Promise((resolve) => {
    setImmediate(resolve);
  });
}

/** Goes through a list in portions of so many, with a turn for others before each but the first. */
export async function* portions<Item>(
  items: readonly Item[],
  size: number,
): AsyncGenerator<readonly Item[]> {
  for (let start = 0; start < items.length; start += size) {
    if (start > 0) await othersFirst();
    yield items.slice(start, start + size);
  }
}
