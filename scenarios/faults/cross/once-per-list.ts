/** The function, computing once for each list: 50,000 damage effects ask for the same 200 supports. The list must not change. */
export function oncePerList<T>(compute: (list: readonly unknown[]) => T): (list: readonly unknown[]) => T {
  const known = new WeakMap<readonly unknown[], { readonly value: T }>();
  return (list) => {
    const before = known.get(list);
    if (before !== undefined) return before.value;
    const value = compute(list);
    known.set(list, { value });
    return value;
  };
}
