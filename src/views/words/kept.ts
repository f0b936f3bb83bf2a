/** More than the days of ten years; past that a store starts afresh instead of growing. */
const KEPT_AT_MOST = 4000;

/** The value under `key`, made once. For what is dear to make and asked for by many letters. */
export function kept<V>(store: Map<string, V>, key: string, make: () => V, most = KEPT_AT_MOST): V {
  const found = store.get(key);
  if (found !== undefined) return found;
  const made = make();
  if (store.size >= most) store.clear();
  store.set(key, made);
  return made;
}
