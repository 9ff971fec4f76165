/** Members of all objects in a parsed JSON document. Fewer than in its text: some key stood twice in one object. */
export function membersInDocument(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0;
  const inner = Object.values(value);
  let members = Array.isArray(value) ? 0 : inner.length;
  for (const one of inner) members += membersInDocument(one);
  return members;
}
