/** Items by a key, in their order; those without a key are left out. */
export function grouped<Item>(
  items: Iterable<Item>,
  keyOf: (item: Item) => string | undefined,
): Map<string, Item[]> {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    if (key === undefined) continue;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
}
